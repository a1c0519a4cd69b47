/** Type A evaluation: repeated observations (JCGM 100:2008, 4.2 and 5.2.3). */
import { correlatedInputs } from './correlated-inputs.ts';
import { correlationCoefficient } from './covariance.ts';
import type { Estimate, Known } from './estimate.ts';

export interface Mean extends Required<Known> {
  /** Of a single observation. */
  readonly standardDeviation: number;
}

/**
 * Mean of repeated observations of one quantity, with the standard uncertainty of the mean.
 * @param values  at least 2, independent of each other
 * @throws RangeError for fewer than 2
 * Source: JCGM 100:2008, 4.2.1 to 4.2.3, eq. (3) to (5)
 */
export function meanOf(values: readonly number[]): Mean {
  const count = values.length;
  const first = values[0];
  if (first === undefined || count < 2) throw new RangeError(`${count} observations, expected at least 2`);
  // Small spread about a large value: sums are of what is left beside the first value, and the mean is corrected once.
  const rough = first + values.reduce((sum, value) => sum + (value - first), 0) / count;
  const value = rough + values.reduce((sum, each) => sum + (each - rough), 0) / count;
  const squares = values.reduce((sum, each) => sum + (each - value) ** 2, 0);
  const drift = values.reduce((sum, each) => sum + (each - value), 0);
  const standardDeviation = Math.sqrt((squares - drift ** 2 / count) / (count - 1));
  return { value, standardDeviation, standardUncertainty: standardDeviation / Math.sqrt(count), degreesOfFreedom: count - 1 };
}

/**
 * Means of quantities observed together, time after time; correlated as their observations are.
 * @param series  a list of observations a quantity, all of one length, at least 2
 * @throws RangeError for lists of different lengths
 * Source: JCGM 100:2008, 5.2.3, eq. (17)
 */
export function observedTogether(
  series: readonly { readonly name: string; readonly unit: string; readonly observations: readonly number[] }[],
): readonly Estimate[] {
  const means = series.map((each) => meanOf(each.observations));
  const count = series[0]?.observations.length ?? 0;
  const correlation = series.map((a, i) =>
    series.map((b, j) => (i === j ? 1 : correlationOf(a.observations, b.observations, means[i] as Mean, means[j] as Mean))),
  );
  const inputs = series.map(({ name, unit }, i) => ({ name, unit, ...(means[i] as Mean) }));
  return correlatedInputs(inputs, correlation, count - 1);
}

function correlationOf(a: readonly number[], b: readonly number[], meanA: Mean, meanB: Mean): number {
  if (a.length !== b.length) throw new RangeError(`${a.length} observations beside ${b.length}`);
  const products = a.reduce((sum, value, k) => sum + (value - meanA.value) * ((b[k] as number) - meanB.value), 0);
  return correlationCoefficient(products, meanA.standardDeviation * meanB.standardDeviation * (a.length - 1));
}
