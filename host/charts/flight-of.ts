/**
 * The flight of a shot between the muzzle datum and the target, as its results tell it: speed by place and by time.
 * Between the two the speed falls as that of a body with one drag coefficient, v = v0 · exp(−k x), with k by the speed
 * at the target; over some metres the real one, whose coefficient changes with Mach, lies within a few hundredths of a
 * metre a second of it. For drawing, not for measuring.
 */
import type { Shot } from '../../protocol/index.ts';

export interface Flight {
  /** Of the muzzle datum's passage, s since the firing. */
  readonly muzzleS: number;
  /** How far it is told, m from the muzzle datum. */
  readonly toM: number;
  /** @param placeM  m from the muzzle datum */
  readonly speedMps: (placeM: number) => number;
  /** Since the firing, s. */
  readonly timeS: (placeM: number) => number;
  /**
   * Half-width of the 95 % interval, m/s. Between muzzle and target it is the straight line between theirs, which is never
   * too narrow: a standard uncertainty is the length of a vector, and that of a vector in between is no longer than the
   * ends' in their shares (the triangle's inequality).
   */
  readonly halfMps: (placeM: number) => number;
}

/** A place beyond which no range reaches; k x stays small. */
const STRAIGHT = 1e-9;

/** @returns undefined where the shot has no muzzle velocity or no passage to time it by */
export function flightOf(
  { muzzleVelocityMps: muzzle, targetVelocityMps: target, passages }: Shot,
  targetPositionM: number,
): Flight | undefined {
  const [first] = passages;
  const last = passages.at(-1);
  if (!muzzle || !first || !last || !(muzzle.value > 0)) return undefined;
  const isToTarget = target !== undefined && target.value > 0 && targetPositionM > 0;
  const toM = isToTarget ? targetPositionM : last.positionM;
  const perM = isToTarget ? Math.log(muzzle.value / target.value) / targetPositionM : 0;
  const sinceMuzzleS = (placeM: number): number =>
    (Math.abs(perM * placeM) < STRAIGHT ? placeM : Math.expm1(perM * placeM) / perM) / muzzle.value;
  // The fitted time of the first gate, not the measured one.
  const muzzleS = first.timeS - (first.residualS ?? 0) - sinceMuzzleS(first.positionM);
  const ends = [muzzle.expandedUncertainty, isToTarget ? target.expandedUncertainty : muzzle.expandedUncertainty] as const;
  return {
    muzzleS,
    toM,
    speedMps: (placeM) => muzzle.value * Math.exp(-perM * placeM),
    timeS: (placeM) => muzzleS + sinceMuzzleS(placeM),
    halfMps: (placeM) => ends[0] + ((ends[1] - ends[0]) * placeM) / toM,
  };
}

/** Evenly over the flight. */
export const placesOf = ({ toM }: Flight, count: number): readonly number[] =>
  Array.from({ length: count }, (_, i) => (i * toM) / (count - 1));
