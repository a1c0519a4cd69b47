/** No shot invented, none lost, each velocity right or flagged, and a shot of two sessions whole in one of them or flagged in both. */
import type { ShotTruth } from '../../firmware-sim/world/shot.ts';
import type { Shot } from '../../protocol/index.ts';

/**
 * Standard uncertainties. Of a normal error one in 1.7 million is beyond; with 4, a run of 10 000 seeds would meet one
 * by chance every other time.
 */
const SCORE_MAX = 5;
/** A firing timed by an edge at a gate, or by the blow-down, is off by the flight of the ball and the clock of a board that was never heard before. */
const SAME_FIRING_S = 0.25;

export interface FoundShot {
  readonly shot: Shot;
  /** Range time. */
  readonly firedAtS: number;
}

export interface ShotsChecked {
  readonly wrong: readonly string[];
  readonly shots: number;
  readonly unflagged: number;
  /** Errors of the unflagged ones over their own uncertainty. */
  readonly scores: readonly number[];
}

/** @param edgesLost  the board lost edges in a restart: a firing may be unknown to everybody */
export function checkShots(found: readonly FoundShot[], truth: readonly ShotTruth[], edgesLost: boolean): ShotsChecked {
  const wrong: string[] = [];
  const scores: number[] = [];
  for (const { shot, firedAtS } of found) {
    const true_ = truthOf(firedAtS, truth);
    if (true_ === undefined)
      wrong.push(`shot ${shot.id} at ${firedAtS.toFixed(3)} s was never fired (${shot.flags.join(', ') || 'no flag'})`);
    else if (shot.flags.length === 0) {
      const score = scoreOf(shot, true_);
      scores.push(score);
      if (!(Math.abs(score) <= SCORE_MAX))
        wrong.push(`shot ${shot.id} has no flag, and its muzzle velocity is ${score.toFixed(1)} standard uncertainties off`);
    }
  }
  for (const fired of truth) {
    const own = found.filter(({ firedAtS }) => truthOf(firedAtS, truth) === fired);
    if (own.length === 0 && !edgesLost) wrong.push(`the firing at ${fired.firedAtS.toFixed(3)} s is in no journal`);
    const whole = own.filter(({ shot }) => shot.flags.length === 0);
    if (whole.length > 1) wrong.push(`the firing at ${fired.firedAtS.toFixed(3)} s is ${whole.length} shots, none of them flagged`);
  }
  return { wrong, shots: found.length, unflagged: scores.length, scores };
}

function truthOf(firedAtS: number, truth: readonly ShotTruth[]): ShotTruth | undefined {
  return truth.find((one) => Math.abs(one.firedAtS - firedAtS) < SAME_FIRING_S);
}

function scoreOf(shot: Shot, truth: ShotTruth): number {
  const { muzzleVelocityMps: muzzle } = shot;
  return muzzle ? (muzzle.value - truth.muzzleVelocityMps) / muzzle.standardUncertainty : Number.NaN;
}
