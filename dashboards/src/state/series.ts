/** How the sending to the server of time series does, and the rigs that it knows; asked of the host every few seconds while it is looked at. */
import { signal } from '@preact/signals';
import type { Fleet, SeriesState } from '../../../protocol/index.ts';
import { keyHeaders } from './keys.ts';

const ASK_EVERY_MS = 5_000;

/** null: this host sends nothing. undefined: not asked yet. */
export const series = signal<SeriesState | null | undefined>(undefined);
export const fleet = signal<Fleet | undefined>(undefined);
/** Why the fleet could not be asked for; empty where it could. */
export const fleetProblem = signal('');

/** @returns what ends it */
export function watchSeries(): () => void {
  return often(async () => {
    const answer = await fetch('/api/series', { headers: keyHeaders() });
    if (answer.ok) series.value = (await answer.json()) as SeriesState | null;
  });
}

/** @returns what ends it */
export function watchFleet(): () => void {
  return often(async () => {
    // Without a server there is no fleet, and nothing is amiss.
    if (!series.peek()) return;
    try {
      const answer = await fetch('/api/fleet', { headers: keyHeaders() });
      if (answer.ok) fleet.value = (await answer.json()) as Fleet;
      fleetProblem.value = answer.ok ? '' : await whyNot(answer);
    } catch (error) {
      fleetProblem.value = error instanceof Error ? error.message : String(error);
    }
  });
}

async function whyNot(answer: Response): Promise<string> {
  const { message } = (await answer.json().catch(() => ({}))) as { readonly message?: unknown };
  return typeof message === 'string' ? message : `the host answered ${answer.status}`;
}

function often(ask: () => Promise<void>): () => void {
  let isOver = false;
  let timer: number | undefined;
  const again = async (): Promise<void> => {
    // A host that is gone is told of by the page's own line.
    if (!document.hidden) await ask().catch(() => undefined);
    if (!isOver) timer = window.setTimeout(() => void again(), ASK_EVERY_MS);
  };
  void again();
  return () => {
    isOver = true;
    clearTimeout(timer);
  };
}
