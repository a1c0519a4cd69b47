/**
 * White noise of a channel, from its newest samples. Second differences leave out level and slope, so that a filling
 * vessel does not count as noise: their variance is 6 σ² (binomial coefficients 1, −2, 1).
 */
export interface Noise {
  /** Standard deviation of one sample. */
  readonly deviation: number;
  /** Smallest step ever seen between two samples that differ: the converter's. 0 before there was one. */
  readonly quantum: number;
  readonly sumSquares: number;
  /** Number in the sum; halved now and then so that old noise is forgotten. */
  readonly count: number;
  readonly before: readonly [older: number, newer: number] | undefined;
}

export const NO_NOISE: Noise = { deviation: 0, quantum: 0, sumSquares: 0, count: 0, before: undefined };

const COUNT_MAX = 4096;
/** A firing's jump must not count as noise: what lies beyond so many deviations counts as if it lay there. */
const CLIP = 5;
const CLIP_FROM_COUNT = 32;
/** Relative; two values closer than this are the same count calibrated twice. */
const ROUNDING = 1e-9;

/** @param values  evenly spaced, following those before unless `gap` */
export function takeNoise(noise: Noise, values: readonly number[], gap: boolean): Noise {
  let { sumSquares, count, quantum } = noise;
  let [older, newer] = gap || !noise.before ? [Number.NaN, Number.NaN] : noise.before;
  const clip = count >= CLIP_FROM_COUNT ? CLIP * CLIP * (sumSquares / count) : Number.POSITIVE_INFINITY;
  for (const value of values) {
    const step = Math.abs(value - newer);
    if (step > ROUNDING * Math.abs(value) && (quantum === 0 || step < quantum)) quantum = step;
    const bend = value - 2 * newer + older;
    if (!Number.isNaN(bend)) {
      // A steady channel may read without any scatter for a while; clipping at 0 would never let it out again.
      sumSquares += Math.min((bend * bend) / 6, Math.max(clip, (CLIP * CLIP * quantum * quantum) / 12));
      count++;
    }
    older = newer;
    newer = value;
  }
  if (count > COUNT_MAX) {
    sumSquares /= 2;
    count /= 2;
  }
  return { deviation: count > 0 ? Math.sqrt(sumSquares / count) : 0, quantum, sumSquares, count, before: [older, newer] };
}

/**
 * Standard uncertainty of a mean of samples, > 0. Where the noise is smaller than half a step of the converter the
 * rounding no longer averages out and stays in full (JCGM 100:2008, F.2.2.1).
 */
export function meanUncertainty({ deviation, quantum }: Noise, count: number, value: number): number {
  const rounding = deviation < quantum / 2 ? quantum / Math.sqrt(12) : 0;
  return Math.max(Math.hypot(deviation / Math.sqrt(count), rounding), 1e-9 * Math.abs(value), 1e-12);
}
