/**
 * A sum of normal distributions with weights: what is known of a quantity when its scatter, or the model itself, is known
 * only by how well each possibility explains the observations.
 */
import erfc from '@stdlib/math-base-special-erfc';

export interface NormalPart {
  /** > 0; they need not add up to 1. */
  readonly weight: number;
  readonly mean: number;
  /** > 0, k = 1. */
  readonly standardDeviation: number;
}

/** Source: law of total expectation and of total variance. */
export function mixtureMoments(parts: readonly NormalPart[]): { readonly mean: number; readonly standardDeviation: number } {
  const total = parts.reduce((sum, { weight }) => sum + weight, 0);
  const mean = parts.reduce((sum, part) => sum + part.weight * part.mean, 0) / total;
  const variance = parts.reduce((sum, part) => sum + part.weight * (part.standardDeviation ** 2 + (part.mean - mean) ** 2), 0) / total;
  return { mean, standardDeviation: Math.sqrt(variance) };
}

/** Probability of a value below x, 0 to 1. */
export function probabilityBelow(parts: readonly NormalPart[], x: number): number {
  const total = parts.reduce((sum, { weight }) => sum + weight, 0);
  const below = parts.reduce((sum, part) => sum + part.weight * 0.5 * erfc((part.mean - x) / (part.standardDeviation * Math.SQRT2)), 0);
  return below / total;
}

/** Of the interval that is halved, relative to the widest part's standard deviation. */
const QUANTILE_RESOLUTION = 1e-7;

/**
 * The value below which the probability lies, by halving.
 * @param probability  between 0 and 1
 * @throws RangeError outside these (caller's bug)
 */
export function mixtureQuantile(parts: readonly NormalPart[], probability: number): number {
  if (!(probability > 0 && probability < 1)) throw new RangeError(`quantile for probability ${probability}`);
  const widest = Math.max(...parts.map((part) => part.standardDeviation));
  let low = Math.min(...parts.map((part) => part.mean - 40 * part.standardDeviation));
  let high = Math.max(...parts.map((part) => part.mean + 40 * part.standardDeviation));
  while (high - low > QUANTILE_RESOLUTION * widest) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) break;
    if (probabilityBelow(parts, middle) < probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
