/** Headers of every answer: nothing from elsewhere is loaded, nothing of ours is shown inside another page. */
export function securityHeaders(host: string): Readonly<Record<string, string>> {
  return {
    // Not every browser takes 'self' to cover ws:, so the address is named as well.
    'content-security-policy': [
      "default-src 'none'",
      "script-src 'self'",
      "style-src 'self'",
      "img-src 'self' data:",
      "font-src 'self'",
      `connect-src 'self' ws://${host}`,
      "base-uri 'none'",
      "form-action 'none'",
      "frame-ancestors 'none'",
    ].join('; '),
    'x-content-type-options': 'nosniff',
    'referrer-policy': 'no-referrer',
    'cross-origin-resource-policy': 'same-origin',
    'cross-origin-opener-policy': 'same-origin',
  };
}
