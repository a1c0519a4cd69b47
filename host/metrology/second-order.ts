import { covariance } from './covariance.ts';
import { type Estimate, standardUncertainty } from './estimate.ts';

/**
 * How much first-order propagation leaves out: the standard uncertainty that the next terms of the Taylor series add in
 * quadrature. Small beside the first-order result: the model is straight enough for it.
 * Derivatives by central differences one standard uncertainty wide to each side; exact for a model that is a cubic.
 * @param estimates  independent of each other, their distributions symmetric about their values
 * @returns k = 1, in the result's unit; negative where the next terms narrow the result
 * @throws RangeError for estimates that share an input (caller's bug)
 * Source: JCGM 100:2008, 5.1.2, note; used in H.1.7
 */
export function secondOrderUncertainty(of: (...values: number[]) => number, ...estimates: readonly Estimate[]): number {
  const values = estimates.map((estimate) => estimate.value);
  const u = estimates.map(standardUncertainty);
  const shared = estimates.some((a, i) => estimates.slice(0, i).some((b) => covariance(a, b) !== 0));
  if (shared) throw new RangeError('second-order terms are for independent estimates only');
  /** The model some standard uncertainties away along two of its arguments, which may be the same one. */
  const at = (i: number, bySteps: number, j = i, andSteps = 0) =>
    of(...values.map((value, l) => value + (u[l] as number) * ((l === i ? bySteps : 0) + (l === j ? andSteps : 0))));
  const centre = of(...values);

  // Derivatives are in units of the standard uncertainties, so that the sum needs no further factor.
  let variance = 0;
  for (let i = 0; i < u.length; i++) {
    if (u[i] === 0) continue;
    const first = (at(i, 1) - at(i, -1)) / 2;
    for (let j = 0; j < u.length; j++) {
      if (u[j] === 0) continue;
      const mixed =
        i === j ? at(i, 1) - 2 * centre + at(i, -1) : (at(i, 1, j, 1) - at(i, 1, j, -1) - at(i, -1, j, 1) + at(i, -1, j, -1)) / 4;
      const third =
        i === j
          ? (at(i, 2) - 2 * at(i, 1) + 2 * at(i, -1) - at(i, -2)) / 2
          : (at(i, 1, j, 1) - 2 * at(i, 1) + at(i, 1, j, -1) - (at(i, -1, j, 1) - 2 * at(i, -1) + at(i, -1, j, -1))) / 2;
      variance += mixed ** 2 / 2 + first * third;
    }
  }
  return Math.sign(variance) * Math.sqrt(Math.abs(variance));
}
