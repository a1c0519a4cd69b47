/**
 * The recent past of one channel as minimum and maximum over runs of 50 ms: what a scrolling trace needs, in
 * bounded memory, whatever the sample rate. Not a record: the journal is.
 */
import type { Envelope, SamplesEvent, SessionNs } from '../../protocol/index.ts';

export const BIN_NS = 50_000_000;
/** 10 minutes. Older bins are overwritten. */
export const BINS_KEPT = 12_000;
/** History is sent fine for the last minute, and in runs of ten bins before that. */
const FINE_BINS = 1_200;
const COARSE_RUN = 10;
/** Bins in one envelope of `takeChanged`; what remains comes with the next. */
export const CHANGED_BINS_MAX = 1_200;

/** As fine as 24 bits: more digits are only noise that a phone's line has to carry. */
const DIGITS = 7;
const toDigits = (value: number): number => Number(value.toPrecision(DIGITS));

/** The newest bin with a sample, which may not be full yet. */
export interface NewestBin {
  readonly bin: number;
  readonly min: number;
  readonly max: number;
  readonly sum: number;
  readonly count: number;
}

export class EnvelopeHistory {
  readonly #channel: string;
  readonly #min = new Float64Array(BINS_KEPT).fill(Number.NaN);
  readonly #max = new Float64Array(BINS_KEPT).fill(Number.NaN);
  /** Absolute number of the newest bin that holds a sample; −1 before the first. */
  #newestBin = -1;
  #newestSum = 0;
  #newestCount = 0;
  /** Changed and not yet taken; empty where from > to. */
  #changedFrom = Number.POSITIVE_INFINITY;
  #changedTo = -1;

  constructor(channel: string) {
    this.#channel = channel;
  }

  /**
   * As it was when `newest` was its newest bin.
   * @param read  minimum and maximum of an older bin, NaN where it is empty
   */
  static upTo(channel: string, newest: NewestBin, read: (bin: number) => readonly [min: number, max: number]): EnvelopeHistory {
    const made = new EnvelopeHistory(channel);
    for (let bin = Math.max(0, newest.bin - BINS_KEPT + 1); bin < newest.bin; bin += 1) {
      const [min, max] = read(bin);
      made.#min[bin % BINS_KEPT] = min;
      made.#max[bin % BINS_KEPT] = max;
    }
    made.#min[newest.bin % BINS_KEPT] = newest.min;
    made.#max[newest.bin % BINS_KEPT] = newest.max;
    made.#newestBin = newest.bin;
    made.#newestSum = newest.sum;
    made.#newestCount = newest.count;
    return made;
  }

  /** @returns undefined before the first sample */
  get newest(): NewestBin | undefined {
    const bin = this.#newestBin;
    if (bin < 0) return undefined;
    const slot = bin % BINS_KEPT;
    const [min, max] = [this.#min[slot] ?? Number.NaN, this.#max[slot] ?? Number.NaN];
    return { bin, min, max, sum: this.#newestSum, count: this.#newestCount };
  }

  /** Samples older than what is kept, before the session or not finite are left out. */
  add(samples: Pick<SamplesEvent, 'fromNs' | 'periodNs' | 'valuesSi'>): void {
    samples.valuesSi.forEach((value, index) => {
      this.#addOne(Math.floor((samples.fromNs + index * samples.periodNs) / BIN_NS), value);
    });
  }

  /** Mean of the newest bin, SI: the present number. */
  get lastSi(): number | null {
    return this.#newestCount === 0 ? null : this.#newestSum / this.#newestCount;
  }

  /**
   * The bins that changed since they were last taken, oldest first, at most CHANGED_BINS_MAX.
   * @returns undefined where nothing changed
   */
  takeChanged(): Envelope | undefined {
    const from = Math.max(this.#changedFrom, this.#newestBin - BINS_KEPT + 1, 0);
    if (from > this.#changedTo) return undefined;
    const to = Math.min(this.#changedTo, from + CHANGED_BINS_MAX - 1);
    if (to === this.#changedTo) {
      this.#changedFrom = Number.POSITIVE_INFINITY;
      this.#changedTo = -1;
    } else {
      this.#changedFrom = to + 1;
    }
    return this.#envelope(from, to, 1);
  }

  /** The bins from that time on, fine, at most the last minute's: to fill what a thinned page has missed. */
  since(fromNs: SessionNs): Envelope | undefined {
    const from = Math.max(Math.floor(fromNs / BIN_NS), this.#newestBin - FINE_BINS + 1, 0);
    return from > this.#newestBin ? undefined : this.#envelope(from, this.#newestBin, 1);
  }

  /** All that is kept: older part in runs of ten bins, then the last minute bin by bin. Empty before the first sample. */
  history(): readonly Envelope[] {
    if (this.#newestBin < 0) return [];
    const oldest = Math.max(0, Math.ceil((this.#newestBin - BINS_KEPT + 1) / COARSE_RUN) * COARSE_RUN);
    const fineFrom = Math.max(oldest, Math.floor((this.#newestBin - FINE_BINS + 1) / COARSE_RUN) * COARSE_RUN);
    const fine = this.#envelope(fineFrom, this.#newestBin, 1);
    return fineFrom > oldest ? [this.#envelope(oldest, fineFrom - 1, COARSE_RUN), fine] : [fine];
  }

  #addOne(bin: number, value: number): void {
    if (!Number.isFinite(value) || bin < 0 || bin <= this.#newestBin - BINS_KEPT) return;
    if (bin > this.#newestBin) this.#advanceTo(bin);
    if (bin === this.#newestBin) {
      this.#newestSum += value;
      this.#newestCount += 1;
    }
    const slot = bin % BINS_KEPT;
    // A comparison with NaN is false, so an empty bin takes the value.
    if (!((this.#min[slot] ?? Number.NaN) <= value)) this.#min[slot] = value;
    if (!((this.#max[slot] ?? Number.NaN) >= value)) this.#max[slot] = value;
    this.#changedFrom = Math.min(this.#changedFrom, bin);
    this.#changedTo = Math.max(this.#changedTo, bin);
  }

  #advanceTo(bin: number): void {
    const skipped = Math.min(bin - this.#newestBin, BINS_KEPT);
    for (let back = 0; back < skipped; back += 1) {
      this.#min[(bin - back) % BINS_KEPT] = Number.NaN;
      this.#max[(bin - back) % BINS_KEPT] = Number.NaN;
    }
    this.#newestBin = bin;
    this.#newestSum = 0;
    this.#newestCount = 0;
  }

  #envelope(from: number, to: number, run: number): Envelope {
    const min: (number | null)[] = [];
    const max: (number | null)[] = [];
    for (let bin = from; bin <= to; bin += run) {
      let low = Number.POSITIVE_INFINITY;
      let high = Number.NEGATIVE_INFINITY;
      for (let one = bin; one < bin + run && one <= to; one += 1) {
        const slot = one % BINS_KEPT;
        // Math.min would let the NaN of an empty bin through.
        if ((this.#min[slot] ?? Number.NaN) < low) low = this.#min[slot] ?? low;
        if ((this.#max[slot] ?? Number.NaN) > high) high = this.#max[slot] ?? high;
      }
      min.push(low <= high ? toDigits(low) : null);
      max.push(low <= high ? toDigits(high) : null);
    }
    return { channel: this.#channel, fromNs: from * BIN_NS, binNs: run * BIN_NS, min, max, lastSi: this.lastSi };
  }
}
