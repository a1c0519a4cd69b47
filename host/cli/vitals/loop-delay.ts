/** How late this program's own timers are: whoever works too long at a stretch keeps the instruments waiting. */
import { type IntervalHistogram, monitorEventLoopDelay } from 'node:perf_hooks';

export interface LoopDelay {
  readonly mean: number;
  readonly p99: number;
  readonly max: number;
}

const RESOLUTION_MS = 20;
const WINDOW_MS = 10_000;

export class LoopDelayWatch {
  readonly #histogram: IntervalHistogram = monitorEventLoopDelay({ resolution: RESOLUTION_MS });
  readonly #timer: NodeJS.Timeout;
  #last: LoopDelay | undefined;

  constructor() {
    this.#histogram.enable();
    this.#timer = setInterval(() => {
      this.#last = this.#read();
      this.#histogram.reset();
    }, WINDOW_MS).unref();
  }

  /** Beyond the interval of looking, s, over the last whole ten seconds, or since the start. */
  get delayS(): LoopDelay {
    return this.#last ?? this.#read();
  }

  close(): void {
    clearInterval(this.#timer);
    this.#histogram.disable();
  }

  #read(): LoopDelay {
    const { mean, max } = this.#histogram;
    return { mean: delayOf(mean), p99: delayOf(this.#histogram.percentile(99)), max: delayOf(max) };
  }
}

/** The histogram holds whole intervals, ns; it is NaN while empty. */
const delayOf = (intervalNs: number): number => Math.max(0, (Number.isFinite(intervalNs) ? intervalNs : 0) / 1e9 - RESOLUTION_MS / 1e3);
