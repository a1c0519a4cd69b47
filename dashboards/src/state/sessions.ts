/** The sessions that the host's data folder has, for whoever wants to replay one. */
import { signal } from '@preact/signals';
import type { SideReplay, SideReplayAnswer } from '../../../protocol/index.ts';
import { sentence } from '../text/sentence.ts';
import { keyHeaders, token } from './keys.ts';

export interface StoredSession {
  readonly id: string;
  /** ISO 8601, UTC. */
  readonly openedAt: string;
  readonly rig: string;
  readonly site: string;
  readonly shots: number;
  readonly shotsFlagged: number;
}

/** Newest first; undefined until the host has answered. */
export const sessions = signal<readonly StoredSession[]>();
export const sessionsProblem = signal('');

export async function fetchSessions(): Promise<void> {
  try {
    const answer = await fetch('/api/sessions', { headers: keyHeaders() });
    if (!answer.ok) throw new Error(answer.status === 404 ? 'it has no store' : `the host answered ${answer.status}`);
    sessions.value = (await answer.json()) as readonly StoredSession[];
    sessionsProblem.value = '';
  } catch (error) {
    sessionsProblem.value = error instanceof Error ? error.message : String(error);
  }
}

/** The one that the host replays beside the live session; null where there is none. */
export const sideReplay = signal<SideReplay | null>(null);
/** Of the session that was asked for last: being begun, or why it was not. */
export const sideReplayWord = signal('');

/** A host may have to end one process and begin another. */
const BEGINS_WITHIN_MS = 45_000;

export async function askSideReplay(): Promise<void> {
  try {
    const answer = await fetch('/api/replays', { headers: keyHeaders() });
    if (answer.ok) sideReplay.value = ((await answer.json()) as { readonly running: SideReplay | null }).running;
  } catch {
    // No host: that is told as such.
  }
}

export async function beginReplay(sessionId: string): Promise<void> {
  sideReplayWord.value = `Beginning the replay of ${sessionId} …`;
  try {
    const answer = await fetch('/api/replays', {
      method: 'POST',
      headers: { authorization: `Bearer ${token.peek() ?? ''}`, 'content-type': 'application/json' },
      body: JSON.stringify({ session: sessionId }),
      signal: AbortSignal.timeout(BEGINS_WITHIN_MS),
    });
    const body = (await answer.json()) as Partial<SideReplayAnswer> & { readonly message?: string };
    if (body.started) {
      sideReplay.value = body.replay ?? null;
      sideReplayWord.value = '';
    } else sideReplayWord.value = sentence(('why' in body ? body.why : body.message) ?? `the host answered ${answer.status}`);
  } catch {
    sideReplayWord.value = 'The host did not answer.';
  }
}
