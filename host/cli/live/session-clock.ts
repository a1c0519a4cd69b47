import type { SessionClock } from '../../links/index.ts';

/** Nanoseconds since it was made, by the system's monotonic clock, which no change of the wall clock moves. */
export class MonotonicClock implements SessionClock {
  readonly #origin = process.hrtime.bigint();
  readonly #rate: number;

  /** @param rate  of its seconds in one of the system's; other than 1 for a range that is simulated more slowly than real time */
  constructor(rate = 1) {
    this.#rate = rate;
  }

  nowNs(): number {
    const ns = Number(process.hrtime.bigint() - this.#origin);
    return this.#rate === 1 ? ns : Math.round(ns * this.#rate);
  }
}

/** The wall clock, to the millisecond that the system gives. */
export const utcNowUs = (): number => Date.now() * 1000;

/** What a session's times are told by. */
export interface SessionTime {
  readonly clock: SessionClock;
  readonly utcNowUs: () => number;
}

export const realTime = (): SessionTime => ({ clock: new MonotonicClock(), utcNowUs });

/** Time that has gone at this rate since `beganUtcMs`, as a range has it that is simulated more slowly than real time. */
export const slowedTime = ({ rate, beganUtcMs }: { readonly rate: number; readonly beganUtcMs: number }): SessionTime => ({
  clock: new MonotonicClock(rate),
  utcNowUs: () => Math.round(1000 * (beganUtcMs + (Date.now() - beganUtcMs) * rate)),
});
