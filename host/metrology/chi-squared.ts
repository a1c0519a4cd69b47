import chiSquaredQuantile from '@stdlib/stats-base-dists-chisquare-quantile';

/**
 * What chi-squared stays below with the given probability where the claimed uncertainties hold.
 * @param probability  between 0 and 1, e.g. 0.999
 * @param degreesOfFreedom  > 0
 * @throws RangeError outside these (caller's bug)
 */
export function chiSquaredLimit(probability: number, degreesOfFreedom: number): number {
  if (!(probability > 0 && probability < 1) || !(degreesOfFreedom > 0)) {
    throw new RangeError(`chi-squared limit for probability ${probability} and ${degreesOfFreedom} degrees of freedom`);
  }
  return chiSquaredQuantile(probability, degreesOfFreedom);
}
