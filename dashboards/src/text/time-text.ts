/** Times of day are UTC everywhere, as in the records. */

/** @param iso  ISO 8601 with microseconds, Z @returns such as `09:31:22.123` */
export function timeOfDay(iso: string): string {
  return iso.slice(11, 23);
}

/** @returns such as `14 Mar 2026` */
export function dateText(utcMs: number): string {
  return new Date(utcMs).toLocaleDateString('en-GB', { day: 'numeric', month: 'short', year: 'numeric', timeZone: 'UTC' });
}

/** @returns such as `09:31:22` */
export function clockText(utcMs: number): string {
  return Number.isFinite(utcMs) ? new Date(utcMs).toISOString().slice(11, 19) : '–';
}
