import { type Estimate, standardUncertainty } from './estimate.ts';

/**
 * What two estimates owe to the inputs they share, in the product of their units; 0 where they share none.
 * Source: JCGM 100:2008, F.1.2.3, eq. (F.2)
 */
export function covariance(a: Estimate, b: Estimate): number {
  const inputsOfB = new Map(b.terms.map((term) => [term.input, term]));
  let sum = 0;
  for (const term of a.terms) {
    sum += term.sensitivity * (inputsOfB.get(term.input)?.sensitivity ?? 0) * term.standardUncertainty ** 2;
  }
  return sum;
}

/** Correlation coefficient, −1 to 1; 0 where either estimate is exact. Source: JCGM 100:2008, 5.2.2, eq. (14) */
export function correlation(a: Estimate, b: Estimate): number {
  return correlationCoefficient(covariance(a, b), standardUncertainty(a) * standardUncertainty(b));
}

/** @param scale  product of the two standard uncertainties, ≥ 0 */
export function correlationCoefficient(covariance: number, scale: number): number {
  // Rounding must not carry it past 1.
  return scale === 0 ? 0 : Math.min(1, Math.max(-1, covariance / scale));
}
