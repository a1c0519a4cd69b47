/** How the replay stands that this page shows, and telling it what to do. Nothing of it in a live session. */
import { effect, signal } from '@preact/signals';
import type { ReplayAnswer, ReplayCommand, ReplayState, RigComparison } from '../../../protocol/index.ts';
import { sentence } from '../text/sentence.ts';
import { keyHeaders, token } from './keys.ts';
import { followNewest } from './shots.ts';

export const replay = signal<ReplayState>();
/** Why the newest command was not carried out; empty where it was. */
export const replayProblem = signal('');
/** Both results of each shot read so far, where there is a corrected rig file. */
export const comparison = signal<RigComparison>();
export const comparisonProblem = signal('');

const GIVE_UP_AFTER_MS = 5_000;

export async function command(what: ReplayCommand): Promise<void> {
  const key = token.peek();
  if (key === undefined) return;
  // What was looked at before is not what is stepped to.
  if (what.do === 'step' || what.do === 'shot') followNewest();
  try {
    const answer = await fetch('/api/replay', {
      method: 'POST',
      headers: { authorization: `Bearer ${key}`, 'content-type': 'application/json' },
      body: JSON.stringify(what),
      signal: AbortSignal.timeout(GIVE_UP_AFTER_MS),
    });
    replayProblem.value = problemOf(await answer.json().catch(() => undefined), answer.status);
  } catch {
    replayProblem.value = 'The replay did not answer; its terminal may say why.';
  }
}

function problemOf(body: unknown, status: number): string {
  const { accepted, why, message } = (body ?? {}) as Partial<Extract<ReplayAnswer, { accepted: false }> & { readonly message: string }>;
  if ((accepted as boolean | undefined) === true) return '';
  return sentence(why ?? message ?? `The replay did not take it (its answer was ${status})`);
}

/** Fetched anew whenever more shots have been read. */
export function followComparison(): void {
  let known = '';
  effect(() => {
    const state = replay.value;
    if (state?.correctedRig === undefined) return;
    const read = `${state.shots.length} ${state.isRead}`;
    if (read === known) return;
    known = read;
    void fetchComparison();
  });
}

async function fetchComparison(): Promise<void> {
  try {
    const answer = await fetch('/api/replay/comparison', { headers: keyHeaders() });
    if (!answer.ok) throw new Error(`the host answered ${answer.status}`);
    comparison.value = (await answer.json()) as RigComparison;
    comparisonProblem.value = '';
  } catch (error) {
    comparisonProblem.value = error instanceof Error ? error.message : String(error);
  }
}
