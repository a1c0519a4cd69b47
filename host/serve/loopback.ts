/**
 * Who may ask. Listening on loopback is not enough: a page from anywhere, open in the crew's browser, can name
 * this host by a name of its own that resolves to 127.0.0.1. So the name asked for must be a loopback one too.
 */
const LOOPBACK_NAMES = new Set(['127.0.0.1', 'localhost', '[::1]']);

/** @param host  a Host header, with or without its port */
export function isLoopbackHost(host: string | undefined): host is string {
  if (host === undefined) return false;
  const match = /^(\[[0-9a-fA-F:]+\]|[^:[\]]+)(?::\d{1,5})?$/.exec(host);
  return LOOPBACK_NAMES.has((match?.[1] ?? '').toLowerCase());
}

/** A browser always sends an Origin with a WebSocket; a program on the machine need not. */
export function isOwnOrigin(origin: string | undefined, host: string): boolean {
  return origin === undefined || origin.toLowerCase() === `http://${host.toLowerCase()}`;
}
