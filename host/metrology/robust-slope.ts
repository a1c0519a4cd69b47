/** A slope that a few strayed points do not move. */
import type { LinePoint } from './straight-line.ts';

export interface RobustSlope {
  readonly slope: number;
  /** k = 1. */
  readonly standardUncertainty: number;
  readonly middleX: number;
  readonly levelAtMiddle: number;
}

/** The median of pairwise slopes is a little less sharp than least squares: efficiency 3/π for normal scatter. */
const EFFICIENCY = 3 / Math.PI;
/** Scatter so much above what the points claim is taken for real. */
const SCATTER_BELIEVED = 1.5;

/**
 * Median of the slopes of all pairs. Its uncertainty follows from the points' own or, where they scatter clearly more
 * (strokes of a pump), from the median of their distances from the line.
 * @param points  at least 3, at most some 60: their pairs are sorted
 * @returns undefined for fewer than 3 points or for points at one place
 * Source: P. K. Sen, J. Am. Stat. Assoc. 63 (1968) 1379 (from memory)
 */
export function robustSlope(points: readonly LinePoint[]): RobustSlope | undefined {
  const n = points.length;
  if (n < 3) return undefined;
  const slopes = new Float64Array((n * (n - 1)) / 2);
  let pairs = 0;
  for (let i = 0; i < n; i++) {
    const a = points[i] as LinePoint;
    for (let j = i + 1; j < n; j++) {
      const b = points[j] as LinePoint;
      if (b.x !== a.x) slopes[pairs++] = (b.y - a.y) / (b.x - a.x);
    }
  }
  if (pairs === 0) return undefined;
  const slope = medianOf(slopes.subarray(0, pairs));
  const middleX = points.reduce((sum, p) => sum + p.x, 0) / n;
  const sxx = points.reduce((sum, p) => sum + (p.x - middleX) ** 2, 0);
  const levels = Float64Array.from(points, (p) => p.y - slope * (p.x - middleX));
  const levelAtMiddle = medianOf(levels);
  const scatter = 1.4826 * medianOf(levels.map((level) => Math.abs(level - levelAtMiddle)));
  const claimed = Math.sqrt(points.reduce((sum, p) => sum + p.standardUncertainty ** 2, 0) / n);
  const deviation = scatter > SCATTER_BELIEVED * claimed ? scatter : claimed;
  return { slope, standardUncertainty: deviation / Math.sqrt(sxx * EFFICIENCY), middleX, levelAtMiddle };
}

/** Sorts in place. */
function medianOf(values: Float64Array): number {
  values.sort();
  const half = values.length >> 1;
  return values.length % 2 === 1 ? (values[half] as number) : ((values[half - 1] as number) + (values[half] as number)) / 2;
}
