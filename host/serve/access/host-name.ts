/**
 * By what name this host may be asked. A token is not enough, and listening on loopback is not: a page from anywhere,
 * open in the crew's browser, can name this host by a name of its own that resolves to its address. So the name asked
 * for must be one of ours: a loopback one, the very address that the connection came to, or one that was given.
 */
const LOOPBACK_NAMES = new Set(['127.0.0.1', 'localhost', '[::1]']);

/**
 * @param host  a Host header, with or without its port
 * @returns the name in it, in lower case; undefined where it is no such header
 */
export function hostNameOf(host: string | undefined): string | undefined {
  return /^(\[[0-9a-fA-F:.]+\]|[^:[\]/@?#\\\s,]+)(?::\d{1,5})?$/.exec(host ?? '')?.[1]?.toLowerCase();
}

/**
 * @param localAddress  of the connection's end here, as the system says it
 * @param names  more of ours, in lower case
 */
export function answersTo(host: string | undefined, localAddress: string | undefined, names: ReadonlySet<string>): host is string {
  const name = hostNameOf(host);
  if (name === undefined) return false;
  return LOOPBACK_NAMES.has(name) || names.has(name) || (localAddress !== undefined && spelled(name) === spelled(inHost(localAddress)));
}

/** As it stands in an address of the web: an IPv6 one in brackets, without the zone that only this computer knows. */
function inHost(address: string): string {
  const plain = address.replace(/%.*$/, '').replace(/^::ffff:(?=\d+\.)/i, '');
  return plain.includes(':') ? `[${plain}]` : plain;
}

/** IPv6 has many spellings of one address. */
function spelled(name: string): string {
  if (!name.startsWith('[')) return name;
  try {
    return new URL(`http://${name}/`).hostname;
  } catch {
    return name;
  }
}

export const isLoopback = (address: string): boolean => /^(::ffff:)?127\.|^::1$/i.test(address);
