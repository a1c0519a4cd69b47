/** From where a request comes, as far as browsers say it. */
import type { IncomingHttpHeaders } from 'node:http';
import { hostNameOf } from './host-name.ts';

/**
 * A browser always sends an Origin with a WebSocket and with what writes; a program need not.
 * @param names  under which TLS may stand before this host, so that its pages are at https
 */
export function isOwnOrigin(origin: string | undefined, host: string, names: ReadonlySet<string> = new Set()): boolean {
  if (origin === undefined) return true;
  const own = host.toLowerCase();
  const asked = origin.toLowerCase();
  return asked === `http://${own}` || (asked === `https://${own}` && names.has(hostNameOf(host) ?? ''));
}

/** What the browser itself says of it; a program says nothing. */
export function isFromElsewhere(headers: IncomingHttpHeaders): boolean {
  const site = headers['sec-fetch-site'];
  return site !== undefined && site !== 'same-origin' && site !== 'none';
}
