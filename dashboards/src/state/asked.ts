/** Questions to the host that are fetched, never sent: nobody waits for them. */
import { type Signal, signal } from '@preact/signals';
import { keyHeaders } from './keys.ts';

export type Answer<T> =
  | { readonly kind: 'answer'; readonly value: T }
  | { readonly kind: 'none' }
  | { readonly kind: 'failed'; readonly why: string };

/** @returns none where the host says null: it has no such thing */
export async function ask<T>(address: string): Promise<Answer<T>> {
  try {
    const answer = await fetch(address, { headers: keyHeaders() });
    if (!answer.ok) return { kind: 'failed', why: `the host answered ${answer.status}` };
    const value = (await answer.json()) as T | null;
    return value === null ? { kind: 'none' } : { kind: 'answer', value };
  } catch (error) {
    return { kind: 'failed', why: error instanceof Error ? error.message : String(error) };
  }
}

/** `none`: this host makes no such report. */
export type Fetched<T> =
  | { readonly state: 'waiting' | 'none' }
  | { readonly state: 'failed'; readonly why: string }
  | { readonly state: 'here'; readonly report: T };

export interface FetchedReport<T> {
  readonly now: Signal<Fetched<T>>;
  /** Asks anew; what is shown stays until the answer is here. */
  readonly fetchIt: () => Promise<void>;
}

export function fetchedReport<T>(address: string): FetchedReport<T> {
  const now = signal<Fetched<T>>({ state: 'waiting' });
  let asked = 0;
  const fetchIt = async (): Promise<void> => {
    asked += 1;
    const mine = asked;
    const answer = await ask<T>(address);
    if (mine !== asked) return;
    if (answer.kind === 'answer') now.value = { state: 'here', report: answer.value };
    else if (answer.kind === 'none') now.value = { state: 'none' };
    else if (now.peek().state !== 'here') now.value = { state: 'failed', why: answer.why };
  };
  return { now, fetchIt };
}
