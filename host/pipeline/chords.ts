/**
 * Did every gate see the same ball? One that flies straight passes each beam at some distance from its middle, and shows
 * the chord at that distance. The chords of one ball so have a straight path through the beams that explains them; those
 * of a yawing, broken or wrong projectile, or of a fragment, have none.
 *
 * A chord does not tell on which side of a beam the ball passed: of all choices of sides the one counts that explains the
 * chords best, so that chance flags far fewer good shots than the level below: at most 3 in 100 000 with four gates and
 * beams as far out of line as stated here. Two gates explain nearly any chords.
 */
import { chiSquaredLimit } from '../metrology/index.ts';
import type { Rig } from '../rig/index.ts';
import { edgeJitterS, type TimedPassage } from './gate-timing.ts';
import { BEAM_EDGES_M, chordM, offAxisM } from './screening.ts';

/** Beams are set to millimetres by a tool in the bore (common practice): of one beam's height against the others', k = 1. */
const BEAM_PLACE_M = 2e-3;
/** Of the path against the line of the beams, besides the whole of its fall: a ball leaves a smooth bore so straight, k = 1 (our judgement). */
const SLANT_RAD = 1e-3;
/** Of chi-squared, before the sides are chosen. */
const CHORDS_LEVEL = 5e-4;
const GRAVITY = 9.80665;

export interface ChordSeen {
  readonly positionM: number;
  readonly chordM: number;
  /** k = 1, m */
  readonly standardUncertaintyM: number;
}

export function chordsSeen(passages: readonly TimedPassage[], velocitiesMps: readonly number[], rig: Rig): readonly ChordSeen[] {
  return passages.flatMap((passage, i) => {
    const velocityMps = velocitiesMps[i] as number;
    const chord = chordM(passage, velocityMps);
    if (chord === undefined) return [];
    const standardUncertaintyM = Math.SQRT2 * Math.hypot(BEAM_EDGES_M, edgeJitterS(passage, rig) * velocityMps);
    return [{ positionM: passage.gate.positionM.value, chordM: chord, standardUncertaintyM }];
  });
}

/** @param velocityMps  mean between the gates, > 0 */
export function chordsDiffer(seen: readonly ChordSeen[], velocityMps: number, { projectile }: Pick<Rig, 'projectile'>): boolean {
  if (seen.length < 2) return false;
  const diameter = projectile.diameterM;
  const [first, last] = [seen[0] as ChordSeen, seen.at(-1) as ChordSeen];
  const slantU = Math.hypot(SLANT_RAD, (GRAVITY * (first.positionM + last.positionM)) / (2 * velocityMps ** 2));
  const points = seen.map(({ positionM, chordM, standardUncertaintyM }) => {
    const offM = offAxisM(chordM, diameter.value);
    // Near the middle of the beam the chord hardly changes: there its uncertainty says little of the distance.
    const u = Math.hypot(standardUncertaintyM, diameter.standardUncertainty);
    return { positionM, offM, weight: 1 / (BEAM_PLACE_M ** 2 + (offAxisM(chordM - u, diameter.value) - offM) ** 2) };
  });
  const limit = chiSquaredLimit(1 - CHORDS_LEVEL, seen.length - 1);
  const sides = 2 ** (seen.length - 1);
  for (let side = 0; side < sides; side++) {
    const chosen = points.map((point, i) => ({ ...point, offM: side & (1 << i) ? -point.offM : point.offM }));
    if (misfit(chosen, slantU) <= limit) return false;
  }
  return true;
}

interface PathPoint {
  readonly positionM: number;
  /** Signed. */
  readonly offM: number;
  readonly weight: number;
}

/** Chi-squared of the straight line with the least, anywhere, slanting by 0 within the uncertainty. */
function misfit(points: readonly PathPoint[], slantU: number): number {
  const sum = (of: (point: PathPoint) => number): number => points.reduce((total, point) => total + point.weight * of(point), 0);
  const weight = sum(() => 1);
  const middleM = sum(({ positionM }) => positionM) / weight;
  const offM = sum((point) => point.offM) / weight;
  const along = sum((point) => (point.positionM - middleM) ** 2);
  const both = sum((point) => (point.positionM - middleM) * (point.offM - offM));
  return sum((point) => (point.offM - offM) ** 2) - both ** 2 / (along + 1 / slantU ** 2);
}
