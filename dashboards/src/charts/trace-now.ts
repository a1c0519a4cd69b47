import { type Chart, traceChart } from '../../../host/charts/index.ts';
import { DISPLAY, type QuantityKind } from '../../../host/units/index.ts';
import { traces } from '../state/live-state.ts';
import { sessionNowNs } from '../state/page-clock.ts';
import { units, windowS } from '../state/preferences.ts';
import { originS, shotsOfSession } from './trace-chart.tsx';

export interface TraceNamed {
  readonly channel: string;
  /** Such as `Reservoir pressure`. */
  readonly name: string;
  readonly kind: QuantityKind;
  readonly isPressure: boolean;
}

/** A scrolling trace as it stands now. @returns undefined where nothing has come of it */
export function traceNow({ channel, name, kind, isPressure }: TraceNamed): Chart | undefined {
  const trace = traces.get(channel);
  if (!trace) return undefined;
  const { symbol, fromSi } = DISPLAY[kind][units.value];
  const nowS = sessionNowNs() / 1e9;
  const lengthS = windowS.value;
  const { timesS, min, max } = trace.read(nowS * 1e9, lengthS);
  const until = new Date(1e3 * (originS() + nowS)).toISOString();
  const shown = (values: readonly (number | null)[]) => values.map((value) => (value === null ? null : fromSi(value)));
  return traceChart({
    title: name,
    isPressure,
    unit: symbol,
    until: `${until.slice(11, 19)} UTC on ${until.slice(0, 10)}`,
    lengthS,
    timesS: timesS.map((timeS) => timeS - nowS),
    min: shown(min),
    max: shown(max),
    marks: shotsOfSession()
      .map(({ number, firedAtNs }) => ({ atS: firedAtNs / 1e9 - nowS, label: `shot ${number}` }))
      .filter(({ atS }) => atS >= -lengthS && atS <= 0),
  });
}
