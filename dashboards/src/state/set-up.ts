/** What the Set-up page has asked the host: the rig file, who is connected, and how the doors stand. */
import { signal } from '@preact/signals';
import type { DoorsState, PageClients, RigFileCheck, RigFileInForce } from '../../../protocol/index.ts';
import { keyHeaders, token } from './keys.ts';

export interface Asked<T> {
  readonly value?: T;
  /** Why the newest question had no answer; empty where it had. */
  readonly problem: string;
}

const NOT_ASKED = { problem: '' } as const;
export const rigFile = signal<Asked<RigFileInForce>>(NOT_ASKED);
export const rigFileCheck = signal<Asked<RigFileCheck>>(NOT_ASKED);
export const clients = signal<Asked<PageClients>>(NOT_ASKED);
export const doors = signal<Asked<DoorsState>>(NOT_ASKED);

const GIVE_UP_AFTER_MS = 5_000;
const CLIENTS_EVERY_MS = 5_000;

export async function askRigFile(): Promise<void> {
  rigFile.value = await ask('/api/rig-file', keyHeaders(), rigFile.peek());
}

export async function askDoors(): Promise<void> {
  doors.value = await ask('/api/doors', keyHeaders(), doors.peek());
}

export async function checkRigFile(): Promise<void> {
  rigFileCheck.value = await ask('/api/rig-file/check', crewHeaders(), {});
}

/** Now and again while the page is looked at. @returns what ends it */
export function watchClients(): () => void {
  const look = () => {
    if (document.hidden || token.peek() === undefined) return;
    void ask('/api/clients', crewHeaders(), clients.peek()).then((asked) => {
      clients.value = asked;
    });
  };
  look();
  const asking = setInterval(look, CLIENTS_EVERY_MS);
  return () => clearInterval(asking);
}

/** What is known stays where a question fails. */
async function ask<T>(path: string, headers: Record<string, string>, before: { readonly value?: T }): Promise<Asked<T>> {
  try {
    const answer = await fetch(path, { headers, signal: AbortSignal.timeout(GIVE_UP_AFTER_MS) });
    if (answer.ok) return { value: (await answer.json()) as T, problem: '' };
    const { message = `the host answered ${answer.status}` } = (await answer.json().catch(() => ({}))) as { readonly message?: string };
    return { ...before, problem: message };
  } catch {
    return { ...before, problem: 'the host did not answer' };
  }
}

/** The crew's own, whatever this page looks with. */
const crewHeaders = (): Record<string, string> => (token.peek() === undefined ? {} : { authorization: `Bearer ${token.peek()}` });
