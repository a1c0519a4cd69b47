import { hostNameOf } from './access/host-name.ts';

/**
 * Headers of every answer: nothing from elsewhere is loaded, nothing of ours is shown inside another page, and no text
 * becomes script.
 * @param host  a Host header that this server answers to
 * @param names  under which TLS may stand before this host
 */
export function securityHeaders(host: string, names: ReadonlySet<string> = new Set()): Readonly<Record<string, string>> {
  const live = names.has(hostNameOf(host) ?? '') ? `ws://${host} wss://${host}` : `ws://${host}`;
  return {
    // Not every browser takes 'self' to cover ws:, so the address is named as well.
    'content-security-policy': [
      "default-src 'none'",
      "script-src 'self'",
      "style-src 'self'",
      "img-src 'self' data:",
      "font-src 'self'",
      "manifest-src 'self'",
      `connect-src 'self' ${live}`,
      "base-uri 'none'",
      "form-action 'none'",
      "frame-ancestors 'none'",
      "require-trusted-types-for 'script'",
      "trusted-types 'none'",
    ].join('; '),
    'x-content-type-options': 'nosniff',
    'referrer-policy': 'no-referrer',
    'cross-origin-resource-policy': 'same-origin',
    'cross-origin-opener-policy': 'same-origin',
  };
}
