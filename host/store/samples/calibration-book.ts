/**
 * What each count of a channel means, learnt from the samples themselves: whatever a conversion is (a line, a
 * polynomial, a thermistor), a count gives one value until somebody zeroes the channel or changes the rig file. Then the
 * next calibration begins. So the store keeps small integers and still gives every value, without knowing a conversion.
 *
 * A gauge pressure has the air's in it, which changes all the time; it is taken off here and added again on reading,
 * which may differ in the last of some 16 digits. All else is kept to the bit.
 */
import type { CalibrationRow } from './sample-window.ts';

/** Counts above are not kept as such: their table would be larger than what it saves. */
const COUNT_MAX = 65_535;
/** A channel whose counts mean something else again and again has no calibration in this sense. */
const CALIBRATIONS_MAX = 1_000;
const RELATIVE_TOLERANCE = 1e-12;

export interface Counted {
  readonly calibration: number;
  /** Counts that were not in it before. */
  readonly fresh: readonly CalibrationRow[];
}

/** Of one channel. */
export class CalibrationBook {
  #calibration = 1;
  #valuesSi = new Float64Array(0);
  #isReleased = false;

  /** Gives up its memory; should samples come again, their calibration is the next one. */
  release(): void {
    this.#isReleased ||= this.#valuesSi.length > 0;
    this.#valuesSi = new Float64Array(0);
  }

  /**
   * @param addedSi  that is in each value and is no part of the calibration
   * @returns undefined where these cannot be kept as counts
   */
  take(counts: readonly number[], valuesSi: readonly number[], addedSi: number): Counted | undefined {
    if (this.#calibration > CALIBRATIONS_MAX) return undefined;
    const largest = largestOf(counts, valuesSi);
    if (largest === undefined) return undefined;
    if (this.#isReleased) this.#calibration += 1;
    this.#isReleased = false;
    this.#reach(largest);
    return this.#learn(counts, valuesSi, addedSi) ?? this.#next(counts, valuesSi, addedSi);
  }

  #next(counts: readonly number[], valuesSi: readonly number[], addedSi: number): Counted | undefined {
    this.#calibration += 1;
    this.#valuesSi.fill(Number.NaN);
    return this.#learn(counts, valuesSi, addedSi);
  }

  #learn(counts: readonly number[], valuesSi: readonly number[], addedSi: number): Counted | undefined {
    const fresh: CalibrationRow[] = [];
    const known = this.#valuesSi;
    for (let i = 0; i < counts.length; i++) {
      const count = counts[i] as number;
      const valueSi = valuesSi[i] as number;
      const means = known[count] as number;
      if (Number.isNaN(means)) {
        known[count] = valueSi - addedSi;
        fresh.push({ calibration: this.#calibration, count, valueSi: valueSi - addedSi });
      } else if (means + addedSi !== valueSi && !(addedSi !== 0 && isNear(means + addedSi, valueSi, addedSi))) {
        return undefined;
      }
    }
    return { calibration: this.#calibration, fresh };
  }

  #reach(largest: number): void {
    if (largest < this.#valuesSi.length) return;
    const larger = new Float64Array(2 ** Math.ceil(Math.log2(largest + 1))).fill(Number.NaN);
    larger.set(this.#valuesSi);
    this.#valuesSi = larger;
  }
}

/** @returns undefined where not all are counts with a value */
function largestOf(counts: readonly number[], valuesSi: readonly number[]): number | undefined {
  let largest = 0;
  for (let i = 0; i < counts.length; i++) {
    const count = counts[i] as number;
    if (!(Number.isInteger(count) && count >= 0 && count <= COUNT_MAX && Number.isFinite(valuesSi[i]))) return undefined;
    if (count > largest) largest = count;
  }
  return largest;
}

const isNear = (a: number, b: number, addedSi: number): boolean =>
  Math.abs(a - b) <= RELATIVE_TOLERANCE * Math.max(Math.abs(b), Math.abs(addedSi));
