/** How each shot lies to the curve through the others. */
import { coverageFactor } from '../../metrology/index.ts';
import { fitCurve } from './curve-fit.ts';
import type { ShotDrag } from './drag-of-shot.ts';
import { gathered, seenOf } from './seen.ts';

export interface Score {
  readonly score?: number;
  readonly isOutlier: boolean;
}

/** Beyond this, one honest shot in a thousand; by Student's t, since the scatter is told from the shots themselves. */
const PROBABILITY = 0.999;
/** Told from the same shots: scatter, height, amplitude and length of the curve's departure. */
const TOLD_FROM_SHOTS = 4;
/** A fit without the shot is made of so many, those furthest from the curve first: the others are none to look at. */
const REFITS_FEW = 24;
const REFITS_MANY = 6;
const MANY = 40;

/** @param shots  in the order of Mach @returns one a shot */
export function scoresOf(shots: readonly ShotDrag[], slopeAt: (mach: number) => number): readonly Score[] {
  const seen = shots.map((shot) => seenOf(shot, slopeAt));
  const whole = fitCurve(gathered(seen));
  const told = whole.at(seen);
  const away = seen.map(
    (one, i) => Math.abs(one.logDrag - (told[i]?.logDrag ?? 0)) / Math.hypot(Math.sqrt(one.ownVariance), whole.scatter),
  );
  const refits = seen.length > MANY ? REFITS_MANY : REFITS_FEW;
  const limit = coverageFactor(PROBABILITY, Math.max(1, shots.length - TOLD_FROM_SHOTS));
  const looked = new Set(
    away
      .map((distance, i) => ({ distance, i }))
      .toSorted((a, b) => b.distance - a.distance)
      .slice(0, refits)
      .map(({ i }) => i),
  );
  return seen.map((one, i) => {
    if (!looked.has(i)) return { isOutlier: false };
    const expected = fitCurve(gathered(seen.filter((_, j) => j !== i))).foresee(one);
    const score = (one.logDrag - expected.logDrag) / Math.sqrt(expected.variance);
    return { score, isOutlier: Math.abs(score) > limit };
  });
}
