import type { SessionClock } from '../links/index.ts';

/** Nanoseconds since it was made, by the system's monotonic clock, which no change of the wall clock moves. */
export class MonotonicClock implements SessionClock {
  readonly #origin = process.hrtime.bigint();

  nowNs(): number {
    return Number(process.hrtime.bigint() - this.#origin);
  }
}

/** The wall clock, to the millisecond that the system gives. */
export const utcNowUs = (): number => Date.now() * 1000;
