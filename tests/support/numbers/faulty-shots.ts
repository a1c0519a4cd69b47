/** Shots with film fragments, blast and a chattering detector in every one, or in flickering light: how many are reduced right all the same. */
import { standardUncertainty } from '../../../host/metrology/index.ts';
import type { Rig } from '../../../host/rig/index.ts';
import { claimedShot } from '../claimed-shots.ts';

/** An error beyond so many standard uncertainties is no longer a right result; of 10,000 clean ones 0.6 lie beyond by chance. */
const RIGHT_WITHIN_U = 4;

export interface WrongShot {
  readonly seed: number;
  /** Error over u; NaN where there is no velocity. */
  readonly score: number;
  /** The shot says itself that it is not to be trusted: gates disagree, one was left out, or there is no velocity. */
  readonly flagged: boolean;
}

export interface FaultyShots {
  readonly shots: number;
  readonly wrong: readonly WrongShot[];
}

export function faultyShots(
  rig: Rig,
  { shots, firstSeed, faults = 'debris' }: { readonly shots: number; readonly firstSeed: number; readonly faults?: 'debris' | 'flicker' },
): FaultyShots {
  const seeds = Array.from({ length: shots }, (_, i) => firstSeed + i);
  const wrong = seeds.flatMap((seed): readonly WrongShot[] => {
    const { reduction, screening, truth } = claimedShot(rig, { seed, faults });
    if (!reduction) return [{ seed, score: Number.NaN, flagged: true }];
    const { muzzleVelocityMps } = reduction;
    const score = (muzzleVelocityMps.value - truth.muzzleMps) / standardUncertainty(muzzleVelocityMps);
    if (Math.abs(score) <= RIGHT_WITHIN_U) return [];
    return [{ seed, score, flagged: screening.doubtful || screening.rejectedGates.length > 0 }];
  });
  return { shots, wrong };
}
