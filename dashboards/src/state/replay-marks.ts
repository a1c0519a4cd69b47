/** What the recorded session's time line is marked with, fetched as the journal is read. Shots come with the replay's own state. */
import { effect, signal } from '@preact/signals';
import type { ReplayMark, ReplayMarks } from '../../../protocol/index.ts';
import { keyHeaders } from './keys.ts';
import { replay } from './replay.ts';

/** In the order in which they were told. */
export const marks = signal<readonly ReplayMark[]>([]);
export const marksProblem = signal('');

/** Fetches what is missing, now and as more is read. @returns what ends it */
export function followMarks(): () => void {
  let isAsking = false;
  const ask = async () => {
    isAsking = true;
    try {
      for (;;) {
        const have = marks.peek().length;
        if (have >= (replay.peek()?.marks ?? 0)) break;
        const more = await fetchMarks(have);
        if (more.length === 0) break;
        marks.value = [...marks.peek(), ...more];
      }
      marksProblem.value = '';
    } catch (error) {
      marksProblem.value = error instanceof Error ? error.message : String(error);
    } finally {
      isAsking = false;
    }
  };
  return effect(() => {
    const count = replay.value?.marks ?? 0;
    // A replay that was started anew reads from the beginning.
    if (count < marks.peek().length) marks.value = [];
    if (count > marks.peek().length && !isAsking) void ask();
  });
}

async function fetchMarks(from: number): Promise<readonly ReplayMark[]> {
  const answer = await fetch(`/api/replay/marks?from=${from}`, { headers: keyHeaders() });
  if (!answer.ok) throw new Error(`the host answered ${answer.status}`);
  return ((await answer.json()) as ReplayMarks).marks;
}
