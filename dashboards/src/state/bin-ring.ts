/** Minimum and maximum over even runs of time, the newest `count` of them: what one trace draws at one fineness. */
export interface Drawn {
  /** Middle of each run, s of the session. */
  readonly timesS: readonly number[];
  readonly min: readonly (number | null)[];
  readonly max: readonly (number | null)[];
}

/** An empty stretch of up to so many bins is only a slow channel; a longer one is a gap and drawn as one. */
const GAP_BINS = 20;

export class BinRing {
  readonly binNs: number;
  readonly #count: number;
  readonly #min: Float64Array;
  readonly #max: Float64Array;
  #newest = -1;

  constructor({ binNs, count }: { readonly binNs: number; readonly count: number }) {
    this.binNs = binNs;
    this.#count = count;
    this.#min = new Float64Array(count).fill(Number.NaN);
    this.#max = new Float64Array(count).fill(Number.NaN);
  }

  /** Bins only ever widen, so the same samples told twice, or told finer and coarser, do no harm. */
  widen(bin: number, min: number, max: number): void {
    if (bin < 0 || bin <= this.#newest - this.#count) return;
    if (bin > this.#newest) this.#advanceTo(bin);
    const slot = bin % this.#count;
    // A comparison with NaN is false, so an empty bin takes the values.
    if (!((this.#min[slot] ?? Number.NaN) <= min)) this.#min[slot] = min;
    if (!((this.#max[slot] ?? Number.NaN) >= max)) this.#max[slot] = max;
  }

  clear(): void {
    this.#min.fill(Number.NaN);
    this.#max.fill(Number.NaN);
    this.#newest = -1;
  }

  read(fromNs: number): Drawn {
    const timesS: number[] = [];
    const min: (number | null)[] = [];
    const max: (number | null)[] = [];
    let empty = 0;
    const first = Math.max(0, this.#newest - this.#count + 1, Math.floor(fromNs / this.binNs));
    for (let bin = first; bin <= this.#newest; bin += 1) {
      const low = this.#min[bin % this.#count] ?? Number.NaN;
      const high = this.#max[bin % this.#count] ?? Number.NaN;
      const isEmpty = Number.isNaN(low);
      empty = isEmpty ? empty + 1 : 0;
      if (isEmpty && empty !== GAP_BINS) continue;
      timesS.push(((bin + 0.5) * this.binNs) / 1e9);
      min.push(isEmpty ? null : low);
      max.push(isEmpty ? null : high);
    }
    return { timesS, min, max };
  }

  #advanceTo(bin: number): void {
    for (let back = Math.min(bin - this.#newest, this.#count) - 1; back >= 0; back -= 1) {
      this.#min[(bin - back) % this.#count] = Number.NaN;
      this.#max[(bin - back) % this.#count] = Number.NaN;
    }
    this.#newest = bin;
  }
}
