import type { PosternRecord, SessionNs } from '../../../protocol/index.ts';

/** UTC of session times, by the newest anchor that was read. */
export class Utc {
  #anchor: { readonly atNs: SessionNs; readonly utcUs: number } | undefined;

  take(record: PosternRecord): void {
    if (record.kind === 'clock') this.#anchor = { atNs: record.atNs, utcUs: record.value.utcUs };
  }

  /** @returns ISO 8601 to the millisecond; empty before the first anchor, and for a time that no calendar has */
  at(atNs: SessionNs): string {
    if (!this.#anchor) return '';
    const ms = this.#anchor.utcUs / 1e3 + (atNs - this.#anchor.atNs) / 1e6;
    return Math.abs(ms) > 8.64e15 ? '' : new Date(ms).toISOString();
  }
}
