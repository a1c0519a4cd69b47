/**
 * From a standard uncertainty to an interval of stated probability (JCGM 100:2008, annex G).
 *
 * Effective degrees of freedom are taken as the real number that the formula gives, and Student's t at that number.
 * The GUM allows this or the next lower integer (G.4.1, note 1). The integer would jump: the GUM's own example gives
 * 18.9987, which it calls 19 (t = 2.09) and which cutting off would make 18 (t = 2.10).
 */
import chiSquaredQuantile from '@stdlib/stats-base-dists-chisquare-quantile';
import studentTQuantile from '@stdlib/stats-base-dists-t-quantile';
import { type Estimate, standardUncertainty } from './estimate.ts';

/**
 * By the Welch–Satterthwaite formula, over independent terms. Inputs observed together are one term of the formula,
 * with their joint contribution and common degrees of freedom: exact for a linear model of simultaneous observations,
 * where the formula over single inputs would promise too many.
 * @returns > 0; Infinity where every input's uncertainty is beyond doubt
 * Source: JCGM 100:2008, G.4.1, eq. (G.2b)
 */
export function effectiveDegreesOfFreedom(estimate: Estimate): number {
  const sets = new Map<string, { variance: number; readonly degreesOfFreedom: number }>();
  for (const term of estimate.terms) {
    // Beyond doubt and alone, it adds nothing to the sum below.
    if (term.degreesOfFreedom === undefined && term.set === undefined) continue;
    const degreesOfFreedom = term.degreesOfFreedom ?? Number.POSITIVE_INFINITY;
    const variance = (term.sensitivity * term.standardUncertainty) ** 2;
    const key = term.set === undefined ? `input ${term.input}` : `set ${term.set}`;
    const known = sets.get(key);
    if (known) known.variance += variance;
    else sets.set(key, { variance, degreesOfFreedom });
  }
  let doubt = 0;
  for (const { variance, degreesOfFreedom } of sets.values()) doubt += variance ** 2 / degreesOfFreedom;
  return doubt === 0 ? Number.POSITIVE_INFINITY : standardUncertainty(estimate) ** 4 / doubt;
}

/**
 * Half width of the symmetric interval that holds the given probability, in standard uncertainties.
 * @param probability  between 0 and 1, e.g. 0.95
 * @param degreesOfFreedom  real, > 0; Infinity gives the normal distribution
 * @throws RangeError outside these (caller's bug)
 * Source: JCGM 100:2008, G.3.2 to G.3.4, table G.2
 */
export function coverageFactor(probability: number, degreesOfFreedom = Number.POSITIVE_INFINITY): number {
  if (!(probability > 0 && probability < 1) || !(degreesOfFreedom > 0)) {
    throw new RangeError(`coverage factor for probability ${probability} and ${degreesOfFreedom} degrees of freedom`);
  }
  // The square of a standard normal deviate is chi-squared with one degree of freedom.
  if (degreesOfFreedom === Number.POSITIVE_INFINITY) return Math.sqrt(chiSquaredQuantile(probability, 1));
  return studentTQuantile((1 + probability) / 2, degreesOfFreedom);
}

/** Half width of the interval about the value, in the estimate's unit. Source: JCGM 100:2008, G.6.4 */
export function expandedUncertainty(estimate: Estimate, probability = 0.95): number {
  return coverageFactor(probability, effectiveDegreesOfFreedom(estimate)) * standardUncertainty(estimate);
}
