/**
 * How well a steady rise or fall can be told from readings over some time, and for how long to read to tell a given one.
 *
 * White noise of standard deviation s, a sample every d, for a time T: the least-squares slope has the variance
 * s²/Σ(t − t̄)² = 12 s² d/T³ (JCGM 100:2008, H.3.3, with evenly spaced points and many of them). The sensor's own drift
 * looks like the slope itself; no length of time takes it away.
 */
export interface SlopeNoise {
  /** Of one sample, k = 1, in the reading's unit. */
  readonly noise: number;
  /** Between samples, s, > 0. */
  readonly periodS: number;
  /** Of the sensor's own rate of drift, k = 1, unit/s. */
  readonly driftPerS: number;
}

/**
 * A slope seen with a chance of 95 % when 5 % of level readings are to be called a slope: 2 × 1.645 standard
 * uncertainties. Source: L. A. Currie, Anal. Chem. 40 (1968) 586; ISO 11843-1 (both from memory)
 */
export const DETECTION_FACTOR = 3.29;

/** k = 1, unit/s. @param durationS  > 0 */
export const slopeStandardUncertainty = ({ noise, periodS, driftPerS }: SlopeNoise, durationS: number): number =>
  Math.sqrt((12 * noise ** 2 * periodS) / durationS ** 3 + driftPerS ** 2);

/**
 * Time over which a slope of this size would be seen, s.
 * @param slope  magnitude, unit/s
 * @returns undefined where the sensor's drift hides it however long one waits
 */
export function durationToSee({ noise, periodS, driftPerS }: SlopeNoise, slope: number): number | undefined {
  const room = (slope / DETECTION_FACTOR) ** 2 - driftPerS ** 2;
  return room > 0 ? Math.cbrt((12 * noise ** 2 * periodS) / room) : undefined;
}
