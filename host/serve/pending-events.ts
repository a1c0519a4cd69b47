/**
 * Events between two flushes. Of counters, clock and inputs only the newest a board is kept: a storm of bad lines
 * must not become a storm of messages.
 */
import type { LiveEvent } from '../../protocol/index.ts';
import { EVENTS_KEPT } from './event-ring.ts';

export class PendingEvents {
  readonly #byKey = new Map<string, LiveEvent>();
  #unique = 0;
  #overrun = false;

  /** Beyond EVENTS_KEPT the oldest is dropped, and `take` says so. */
  add(event: LiveEvent): void {
    const key = stateKey(event) ?? `#${this.#unique++}`;
    this.#byKey.delete(key);
    this.#byKey.set(key, event);
    if (this.#byKey.size <= EVENTS_KEPT) return;
    const [oldest] = this.#byKey.keys();
    if (oldest !== undefined) this.#byKey.delete(oldest);
    this.#overrun = true;
  }

  get isOverrun(): boolean {
    return this.#overrun;
  }

  /** Empties it. Where `overrun`, some are missing and a snapshot must be sent instead. */
  take(): { readonly events: readonly LiveEvent[]; readonly overrun: boolean } {
    const taken = { events: [...this.#byKey.values()], overrun: this.#overrun };
    this.#byKey.clear();
    this.#overrun = false;
    return taken;
  }
}

/** Undefined where each single event matters. */
function stateKey(event: LiveEvent): string | undefined {
  return event.type === 'wire' || event.type === 'clock' || event.type === 'inputs' ? `${event.type} ${event.source}` : undefined;
}
