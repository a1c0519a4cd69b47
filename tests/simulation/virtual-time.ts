/**
 * The clocks and timers of one process life, in virtual time. What a program asks of the global timers, of
 * `performance`, `process.hrtime` and `Date` is answered by it; promises stay the engine's own and are let run out
 * between two moments, so that nothing is left to the order in which a real system happens to answer.
 */
import { install } from '@sinonjs/fake-timers';

// Taken before any clock is put in its place.
const nextTurn = setImmediate;

/** Resolves when every promise and next tick that could run has run. */
export const settled = (): Promise<void> => new Promise((resolve) => void nextTurn(resolve));

const FAKED = ['setTimeout', 'clearTimeout', 'setInterval', 'clearInterval', 'setImmediate', 'clearImmediate'] as const;

export class VirtualTime {
  readonly #clock: ReturnType<typeof install>;

  /** @param utcMs  what the wall clock shows */
  constructor(utcMs: number) {
    this.#clock = install({ now: utcMs, toFake: [...FAKED, 'hrtime', 'performance', 'Date'] });
  }

  get utcMs(): number {
    return this.#clock.now;
  }

  /** Runs the timers of the time between. */
  advance(ms: number): void {
    this.#clock.tick(ms);
  }

  /** As after the process has stood still: whatever was due comes now, a repeated one once. */
  jump(ms: number): void {
    this.#clock.jump(ms);
  }

  /** Somebody sets the wall clock; no other clock and no timer moves. */
  stepUtc(ms: number): void {
    this.#clock.setSystemTime(this.#clock.now + ms);
  }

  /** The process is no more: none of its timers ever runs again. */
  end(): void {
    this.#clock.uninstall();
  }
}
