import { CommandError } from '../output.ts';

/** A cycle takes four minutes at the real pace, some seconds at the fast one; a busy machine takes longer over either. */
export const SHOT_MS_MAX = { real: 600_000, fast: 120_000 } as const;

/** Waits for so many closed shots. Its timer runs from `start` to `close`. */
export class ShotCount {
  /** Rejects when no shot comes for a long time, or on `fail`. */
  readonly reached: Promise<void>;
  readonly #wanted: number;
  readonly #shotMsMax: number;
  /** Numbers, since a late edge closes a shot again. */
  readonly #closed = new Set<number>();
  #resolve: () => void = () => undefined;
  #reject: (error: Error) => void = () => undefined;
  #timer: NodeJS.Timeout | undefined;
  #slowness = 1;

  constructor(wanted: number, pace: keyof typeof SHOT_MS_MAX) {
    this.#wanted = wanted;
    this.#shotMsMax = SHOT_MS_MAX[pace];
    this.reached = new Promise((resolve, reject) => {
      this.#resolve = resolve;
      this.#reject = reject;
    });
    // Whoever awaits it may come later than the failure, or never.
    this.reached.catch(() => undefined);
  }

  get missing(): number {
    return Math.max(0, this.#wanted - this.#closed.size);
  }

  /** @param slowness  how many times longer than usual a shot takes */
  start(slowness = this.#slowness): void {
    this.#slowness = slowness;
    clearTimeout(this.#timer);
    const ms = Math.round(this.#shotMsMax * slowness);
    const error = new CommandError(`No shot came for ${ms / 1000} s; the demo gives up.`);
    this.#timer = setTimeout(() => this.#reject(error), ms);
  }

  count(number: number): void {
    if (this.missing === 0) return;
    this.#closed.add(number);
    if (this.missing === 0) {
      this.close();
      this.#resolve();
    } else if (this.#timer !== undefined) this.start();
  }

  fail(error: Error): void {
    this.#reject(error);
  }

  close(): void {
    clearTimeout(this.#timer);
    this.#timer = undefined;
  }
}
