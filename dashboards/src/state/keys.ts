/**
 * The keys of this page: one to look, where the host asks for it, and one to act for the crew. They come in the address
 * that the host prints, are kept for this tab only, and are taken out of the address bar, where others could read them.
 */
import { signal } from '@preact/signals';
import { recall, remember } from './storage.ts';

const KEPT = { token: 'postern.token', look: 'postern.look' } as const;
const SHAPE = /^[\w-]{1,128}$/;
/** The first is what the page speaks; the second carries a key, as a page can send no header with a WebSocket. */
const LIVE_PROTOCOL = 'postern.live.1';
const KEY_PROTOCOL = 'postern.token.';

/** To act, and to look as well. */
export const token = signal<string | undefined>(recall(KEPT.token, 'session') ?? undefined);
const lookToken = signal<string | undefined>(recall(KEPT.look, 'session') ?? undefined);

/** What to do about a key that came. */
let onKey: () => void = () => undefined;
export function whenKeyComes(act: () => void): void {
  onKey = act;
}

/** Reads `#token=…` and `#look=…` now and whenever one is put into the address; a part such as `&shot=…` stays. */
export function takeKeysFromAddress(): void {
  const read = () => {
    const parts = location.hash.slice(1).split('&');
    const keys = parts.filter((part) => /^(token|look)=/.test(part));
    if (keys.length === 0) return;
    const rest = parts.filter((part) => !keys.includes(part)).join('&');
    history.replaceState(history.state, '', `${location.pathname}${location.search}${rest === '' ? '' : `#${rest}`}`);
    for (const key of keys) take(key);
    onKey();
  };
  addEventListener('hashchange', read);
  read();
}

function take(key: string): void {
  const which = key.startsWith('look=') ? 'look' : 'token';
  const given = key.slice(which.length + 1);
  if (!SHAPE.test(given)) return;
  (which === 'look' ? lookToken : token).value = given;
  remember(KEPT[which], given, 'session');
  if (which === 'look') return;
  // The crew's is enough to look, and the older one may be of an earlier session.
  lookToken.value = undefined;
  remember(KEPT.look, null, 'session');
}

/** The host does not know it. */
export function forgetToken(): void {
  token.value = undefined;
  remember(KEPT.token, null, 'session');
}

/** With every question to the host. */
export function keyHeaders(): Record<string, string> {
  const key = lookToken.peek() ?? token.peek();
  return key === undefined ? {} : { authorization: `Bearer ${key}` };
}

/** For a link to another port of this host, which takes the same keys; empty where this page has none. */
export function keyFragment(): string {
  if (token.value !== undefined) return `#token=${token.value}`;
  return lookToken.value === undefined ? '' : `#look=${lookToken.value}`;
}

/** With the opening of the live line. */
export function liveProtocols(): string[] {
  const key = lookToken.peek() ?? token.peek();
  return key === undefined ? [LIVE_PROTOCOL] : [LIVE_PROTOCOL, `${KEY_PROTOCOL}${key}`];
}
