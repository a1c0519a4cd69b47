/** The newest numbered events, so that a page that was cut off can be told what it missed. */
import type { LiveEvent } from '../../protocol/index.ts';

export interface NumberedEvent {
  readonly seq: number;
  readonly event: LiveEvent;
}

/** The oldest events go when either bound is passed; a shot's traces are what makes an event heavy. */
export const EVENTS_KEPT = 1_000;
export const TRACE_SAMPLES_KEPT = 2_000_000;

export class EventRing {
  #events: NumberedEvent[] = [];
  #traceSamples = 0;
  #seq = 0;

  /** Number of the newest event; 0 before the first. */
  get seq(): number {
    return this.#seq;
  }

  push(event: LiveEvent): NumberedEvent {
    this.#seq += 1;
    const numbered = { seq: this.#seq, event };
    this.#events.push(numbered);
    this.#traceSamples += traceSamples(event);
    while (this.#events.length > EVENTS_KEPT || (this.#traceSamples > TRACE_SAMPLES_KEPT && this.#events.length > 1)) {
      const oldest = this.#events.shift();
      if (oldest) this.#traceSamples -= traceSamples(oldest.event);
    }
    return numbered;
  }

  /**
   * What came after number `seq`.
   * @returns undefined where some of it is no longer kept, or where that number was never given
   */
  since(seq: number): readonly NumberedEvent[] | undefined {
    if (!Number.isSafeInteger(seq) || seq < 0 || seq > this.#seq) return undefined;
    if (seq === this.#seq) return [];
    const oldest = this.#events[0]?.seq ?? Number.POSITIVE_INFINITY;
    return seq + 1 < oldest ? undefined : this.#events.slice(seq + 1 - oldest);
  }

  /** Forgets the events and keeps counting: a number is never given twice. */
  clear(): void {
    this.#events = [];
    this.#traceSamples = 0;
  }
}

function traceSamples(event: LiveEvent): number {
  return event.type === 'shot' ? event.shot.traces.reduce((sum, trace) => sum + trace.valuesPa.length, 0) : 0;
}
