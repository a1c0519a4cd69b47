/** What the host says of the drag. Fetched, never sent: nobody waits for it. */
import { signal } from '@preact/signals';
import type { DragReport } from '../../../protocol/index.ts';
import { keyHeaders } from './keys.ts';

/** `none`: this host makes no curves, as a replay does not. */
export type DragState =
  | { readonly state: 'waiting' | 'none' }
  | { readonly state: 'failed'; readonly why: string }
  | { readonly state: 'here'; readonly report: DragReport };

export const dragState = signal<DragState>({ state: 'waiting' });

let asked = 0;

/** Asks anew; what is shown stays until the answer is here. */
export async function fetchDrag(): Promise<void> {
  asked += 1;
  const mine = asked;
  const answer = await ask();
  if (mine !== asked) return;
  if (answer.state === 'failed' && dragState.peek().state === 'here') return;
  dragState.value = answer;
}

async function ask(): Promise<DragState> {
  try {
    const answer = await fetch('/api/drag', { headers: keyHeaders() });
    if (!answer.ok) return { state: 'failed', why: `the host answered ${answer.status}` };
    const report = (await answer.json()) as DragReport | null;
    return report === null ? { state: 'none' } : { state: 'here', report };
  } catch (error) {
    return { state: 'failed', why: error instanceof Error ? error.message : String(error) };
  }
}
