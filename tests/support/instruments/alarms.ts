/** All instruments at once, each channel passing its limit again and again: how soon does a page hear of it? */
import type { AlarmTime } from './alarm-watch.ts';
import { FleetSession } from './fleet-session.ts';

export interface AlarmsResult {
  readonly times: readonly AlarmTime[];
  /** Not even long after the last one. */
  readonly unheard: number;
}

/** How long a busy machine is given for those on their way at the end. */
const LAST_ONES_S = 20;

export async function timeAlarms({ seed, seconds }: { readonly seed: number; readonly seconds: number }): Promise<AlarmsResult> {
  const session = await FleetSession.open(seed, 'alarm');
  await session.begin();
  await session.fleet.tell('watch', session.url);
  await new Promise<void>((resolve) => setTimeout(resolve, seconds * 1000));
  const endMs = performance.now();
  let { alarms, alarmsUnheard } = await session.fleet.tell('end-watch');
  while (alarmsUnheard > 0 && performance.now() - endMs < LAST_ONES_S * 1000) {
    await new Promise<void>((resolve) => setTimeout(resolve, 20));
    ({ alarms, alarmsUnheard } = await session.fleet.tell('counts'));
  }
  await session.close();
  return { times: alarms, unheard: alarmsUnheard };
}

/** @param share  0 to 1 @returns ms */
export function quantile(times: readonly AlarmTime[], share: number): number {
  const sorted = times.map(({ ms }) => ms).sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}
