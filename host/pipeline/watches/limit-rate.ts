/**
 * The rate that a rate limit is held against: a straight line through the last second, in sixteenths, so that it is known
 * anew every 63 ms. A rate is nothing that a single sample has; a second is what the limit's name promises.
 */
import { straightLine } from '../../metrology/index.ts';

export interface LimitRate {
  /** Means of sixteenths of a second, at most 16. */
  readonly points: readonly { readonly x: number; readonly y: number }[];
  readonly open: { readonly fromNs: number; readonly sum: number; readonly count: number } | undefined;
}

export const NO_RATE: LimitRate = { points: [], open: undefined };

const POINTS = 16;
const POINT_NS = 1e9 / POINTS;
/** A line needs so many points before it is held against a limit. */
const POINTS_MIN = 8;

export interface RateAt {
  readonly atNs: number;
  readonly slope: number;
}

/** @returns also each rate that became known, with the sample's time */
export function takeRate(
  rate: LimitRate,
  { fromNs, periodNs, valuesSi }: { readonly fromNs: number; readonly periodNs: number; readonly valuesSi: readonly number[] },
): readonly [LimitRate, readonly RateAt[]] {
  const lastX = rate.points.at(-1)?.x;
  // Over a gap of more than a second the old points say nothing of the rate now.
  const isGap = lastX !== undefined && fromNs - lastX * 1e9 > Math.max(1e9, 4 * periodNs);
  let points = isGap ? [] : rate.points;
  let open = isGap ? undefined : rate.open;
  const known: RateAt[] = [];
  for (let i = 0; i < valuesSi.length; i++) {
    const atNs = fromNs + i * periodNs;
    open = { fromNs: open?.fromNs ?? atNs, sum: (open?.sum ?? 0) + (valuesSi[i] as number), count: (open?.count ?? 0) + 1 };
    if (atNs + periodNs - open.fromNs < POINT_NS) continue;
    points = [...points.slice(-(POINTS - 1)), { x: (open.fromNs + atNs) / 2e9, y: open.sum / open.count }];
    open = undefined;
    const line = points.length >= POINTS_MIN ? straightLine(points.map((p) => ({ ...p, standardUncertainty: 1 }))) : undefined;
    if (line) known.push({ atNs, slope: line.slope });
  }
  return [{ points, open }, known];
}
