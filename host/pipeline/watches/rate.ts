/**
 * How fast a pressure moves, over as long a stretch as it moves evenly: a long stretch is quiet, a short one prompt.
 */
import { type LinePoint, robustSlope, straightLine } from '../../metrology/index.ts';
import { type Bin, linePoint } from './bins.ts';
import type { Noise } from './noise.ts';

export interface Rate {
  /** SI/s */
  readonly slope: number;
  /** k = 1, from the scatter alone. */
  readonly standardUncertainty: number;
  readonly spanS: number;
  readonly bins: number;
}

/** Bins kept to take a rate from: 4 s of tenths. */
export const RATE_BINS_MAX = 40;
const RATE_BINS_MIN = 6;
/** Halves whose slopes differ by more than so many standard uncertainties do not belong to one line. */
const PARTED = 3.5;

/** @returns undefined for fewer than six bins */
export function rateOf(bins: readonly Bin[], noise: Noise): Rate | undefined {
  const originNs = bins.at(-1)?.toNs ?? 0;
  let points = bins.slice(-RATE_BINS_MAX).map((bin) => linePoint(bin, noise, originNs));
  while (points.length / 2 >= RATE_BINS_MIN && isBent(points)) points = points.slice(points.length >> 1);
  if (points.length < RATE_BINS_MIN) return undefined;
  const found = robustSlope(points);
  const first = points[0];
  if (!found || !first) return undefined;
  return { slope: found.slope, standardUncertainty: found.standardUncertainty, spanS: -first.x, bins: points.length };
}

/** Strokes of a booster are scatter about the line, which widens the slopes of the halves; a bend is not. */
function isBent(points: readonly LinePoint[]): boolean {
  const half = points.length >> 1;
  const before = straightLine(points.slice(0, half));
  const after = straightLine(points.slice(half));
  if (!before || !after) return false;
  const u = (line: typeof before) => line.slopeStandardUncertainty * Math.sqrt(Math.max(1, line.reducedChiSquared));
  return Math.abs(after.slope - before.slope) > PARTED * Math.hypot(u(before), u(after));
}
