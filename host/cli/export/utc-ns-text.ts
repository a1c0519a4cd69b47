/** @returns ISO 8601 with nine digits of a second, such as 2031-05-04T09:30:00.000012345Z */
export function utcNsText(utcNs: bigint): string {
  const fraction = ((utcNs % 1_000_000_000n) + 1_000_000_000n) % 1_000_000_000n;
  const ms = Number((utcNs - fraction) / 1_000_000n);
  return `${new Date(ms).toISOString().slice(0, 19)}.${String(fraction).padStart(9, '0')}Z`;
}
