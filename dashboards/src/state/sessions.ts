/** The sessions that the host's data folder has, for whoever wants to replay one. */
import { signal } from '@preact/signals';
import { keyHeaders } from './keys.ts';

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
