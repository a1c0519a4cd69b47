/** How often the 95 % intervals hold the truth, over shots whose every error is drawn from what the rig file claims. */
import {
  chiSquaredLimit,
  coverageFactor,
  type Estimate,
  effectiveDegreesOfFreedom,
  standardUncertainty,
} from '../../../host/metrology/index.ts';
import type { Rig } from '../../../host/rig/index.ts';
import { type ClaimedShotOptions, claimedShot } from '../claimed-shots.ts';

export const RESULTS = ['muzzle velocity', 'target velocity', 'Mach', 'drag coefficient'] as const;

export interface Coverage {
  readonly shots: number;
  readonly withoutVelocity: number;
  /** One for each of RESULTS: the share of intervals that hold the truth, and the root mean square of error over u. */
  readonly covered: readonly number[];
  readonly rmsScores: readonly number[];
  /** Of all fits together. */
  readonly chiSquared: number;
  readonly degreesOfFreedom: number;
  /** Chi-squared is no larger than one set of shots in a thousand would have it. */
  readonly residualsAsClaimed: boolean;
  /** Share of shots of which the screening says that gates disagree, or that one is off. */
  readonly doubted: number;
}

export function coverage(
  rig: Rig,
  options: Omit<ClaimedShotOptions, 'seed'> & { readonly shots: number; readonly firstSeed: number },
): Coverage {
  const { shots, firstSeed, ...errors } = options;
  const hits = RESULTS.map(() => 0);
  const squares = RESULTS.map(() => 0);
  let withoutVelocity = 0;
  let chiSquared = 0;
  let degreesOfFreedom = 0;
  let doubted = 0;
  for (let seed = firstSeed; seed < firstSeed + shots; seed++) {
    const { reduction, screening, truth } = claimedShot(rig, { ...errors, seed });
    if (!reduction || !screening.fit) {
      withoutVelocity += 1;
      continue;
    }
    chiSquared += screening.fit.fit.chiSquared;
    degreesOfFreedom += screening.fit.fit.degreesOfFreedom;
    if (screening.doubtful || screening.rejectedGates.length > 0) doubted += 1;
    const { muzzleVelocityMps, targetVelocityMps, mach, drag } = reduction;
    const pairs: readonly (readonly [Estimate, number])[] = [
      [muzzleVelocityMps, truth.muzzleMps],
      [targetVelocityMps, truth.targetMps],
      [mach, truth.mach],
      [drag.coefficient, truth.dragAt(drag.mach.value)],
    ];
    for (const [i, [estimate, true_]] of pairs.entries()) {
      const score = (estimate.value - true_) / standardUncertainty(estimate);
      squares[i] = (squares[i] as number) + score * score;
      if (Math.abs(score) <= coverageFactor(0.95, effectiveDegreesOfFreedom(estimate))) hits[i] = (hits[i] as number) + 1;
    }
  }
  const reduced = shots - withoutVelocity;
  return {
    shots,
    withoutVelocity,
    // A shot without a velocity covers nothing.
    covered: hits.map((count) => count / shots),
    rmsScores: squares.map((sum) => Math.sqrt(sum / reduced)),
    chiSquared,
    degreesOfFreedom,
    residualsAsClaimed: chiSquared <= chiSquaredLimit(0.999, degreesOfFreedom),
    doubted: doubted / shots,
  };
}
