/** The rigs of sessions: a shot is drawn on the range that it was fired on. */
import { signal } from '@preact/signals';
import type { RigSummary } from '../../../protocol/index.ts';
import { keyHeaders } from './keys.ts';
import { rig, session } from './live-state.ts';

/** By session; null while it is asked for and where the host has none. At most so many are kept. */
const known = signal<ReadonlyMap<string, RigSummary | null>>(new Map());
const RIGS_MAX = 50;

/** @returns undefined where it is not here (yet) */
export function rigOf(sessionId: string): RigSummary | undefined {
  return sessionId === session.value?.sessionId ? rig.value : (known.value.get(sessionId) ?? undefined);
}

/** Asks the host once for the rig of an earlier session; without it a shot's pictures are left out, and its numbers stay. */
export async function askRigOf(sessionId: string): Promise<void> {
  // A page that is opened at a shot has it before the line to the host has said which session runs.
  await sessionIsKnown();
  if (sessionId === session.peek()?.sessionId || known.peek().has(sessionId)) return;
  keep(sessionId, null);
  try {
    const answer = await fetch(`/api/sessions/${encodeURIComponent(sessionId)}/rig`, { headers: keyHeaders() });
    if (answer.ok) keep(sessionId, (await answer.json()) as RigSummary);
  } catch {
    forget(sessionId);
  }
}

function sessionIsKnown(): Promise<void> {
  return new Promise((resolve) => {
    if (session.peek() !== undefined) return resolve();
    const stop = session.subscribe((now) => {
      if (now === undefined) return;
      stop();
      resolve();
    });
  });
}

function keep(sessionId: string, rigNow: RigSummary | null): void {
  known.value = new Map([...known.peek(), [sessionId, rigNow] as const].slice(-RIGS_MAX));
}

function forget(sessionId: string): void {
  known.value = new Map([...known.peek()].filter(([id]) => id !== sessionId));
}
