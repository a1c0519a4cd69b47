/** Who acts from this page, and sending an act to the host. */
import { signal } from '@preact/signals';
import type { OperatorAct } from '../../../protocol/index.ts';
import { sentence } from '../text/sentence.ts';
import { forgetToken, token } from './keys.ts';
import { recall, remember } from './storage.ts';

type WithoutWho<A> = A extends OperatorAct ? Omit<A, 'who'> : never;
export type ActToSend = WithoutWho<OperatorAct>;

export type ActState = { readonly state: 'sending' | 'accepted' | 'refused'; readonly text: string };

/** Empty until given. */
export const who = signal(recall('postern.who') ?? '');
/** Of the newest act that was sent from here. */
export const lastAct = signal<ActState>();

export const WHO_CHARACTERS_MAX = 40;
const GIVE_UP_AFTER_MS = 5_000;

export function nameOperator(name: string): void {
  who.value = name.trim().slice(0, WHO_CHARACTERS_MAX);
  remember('postern.who', who.value === '' ? null : who.value);
}

/**
 * Sends one act. What came of it is in `lastAct`; what it changed comes with the live feed.
 * @returns whether the host took it
 */
export async function perform(act: ActToSend, said: string): Promise<boolean> {
  const key = token.peek();
  if (key === undefined) return tell('refused', 'This page may only look.');
  if (who.peek() === '') {
    document.getElementById('who')?.focus();
    return tell('refused', 'Say who you are first: enter your name under Hold points.');
  }
  tell('sending', `${said} …`);
  try {
    const answer = await fetch('/api/acts', {
      method: 'POST',
      headers: { authorization: `Bearer ${key}`, 'content-type': 'application/json' },
      body: JSON.stringify({ ...act, who: who.peek() }),
      signal: AbortSignal.timeout(GIVE_UP_AFTER_MS),
    });
    if (answer.status === 401) return tellUnknownKey();
    const result = resultOf(await answer.json().catch(() => undefined));
    if (answer.ok && result.accepted) return tell('accepted', `${said}: recorded.`);
    return tell('refused', result.why ?? `The host did not take it (its answer was ${answer.status}).`);
  } catch {
    return tell('refused', 'The host did not answer. Whether it was recorded shows here once the host is heard again.');
  }
}

function tell(state: ActState['state'], text: string): boolean {
  lastAct.value = { state, text };
  return state === 'accepted';
}

function tellUnknownKey(): boolean {
  forgetToken();
  return tell('refused', 'The host does not know this page’s key: open the page by the address that the host printed when it started.');
}

function resultOf(body: unknown): { readonly accepted: boolean; readonly why?: string } {
  if (typeof body !== 'object' || body === null) return { accepted: false };
  const { accepted, why, message } = body as Readonly<Record<string, unknown>>;
  const text = typeof why === 'string' ? why : message;
  return { accepted: accepted === true, ...(typeof text === 'string' && text !== '' ? { why: sentence(text) } : {}) };
}
