import type { CalibrationPoint, PointsConversion } from '../conversions/points.ts';
import type { RawBounds } from '../conversions/raw-bounds.ts';
import type { Level } from '../fields.ts';
import type { ChannelShape } from '../schema/channels.ts';
import { type ResolvedConversion, UNRESOLVED } from './context.ts';
import { checkReferences, levelAt, type MeasuredContext, rawReader } from './level.ts';
import { readRange } from './range.ts';

/** Beyond its outermost points a table is trusted for so much of its raw span, so that noise about zero is no fault. */
const TABLE_MARGIN = 0.05;

interface Point extends Level {
  readonly raw: number;
  /** As written. */
  readonly rawText: string;
  readonly text: string;
}

export function resolvePoints(of: MeasuredContext, written: NonNullable<ChannelShape['calibration']>): ResolvedConversion {
  const raws = rawReader(of);
  const points = written.map(([raw, text], i): Point => {
    const value = raws.read(['calibration', i, 0], raw);
    return { raw: value, rawText: String(raw), text, ...levelAt(of, ['calibration', i, 1], text) };
  });
  const range = readRange(of, raws);
  const [first, second] = points;
  if (first === undefined || second === undefined || !checkPoints(of, points)) return UNRESOLVED;
  // What was told of one point leaves the others without a meaning.
  if (points.some(({ raw, si }) => Number.isNaN(raw) || Number.isNaN(si))) return UNRESOLVED;
  // Only a line may have been written from its upper end.
  const sorted = points.map(({ raw, si }): CalibrationPoint => ({ raw, si })).toSorted((a, b) => a.raw - b.raw);
  const conversion: PointsConversion = {
    kind: points.length === 2 ? 'line' : 'table',
    points: sorted as unknown as PointsConversion['points'],
    bounds: boundsOf(sorted, of.fullScale, range),
  };
  return { conversion, reference: first.reference };
}

/** A converter's end is a fault, unless a point there says that it is a value. */
function boundsOf(points: readonly CalibrationPoint[], fullScale: number | undefined, stated: RawBounds['range']): RawBounds {
  const [low, high] = [points[0]?.raw ?? Number.NaN, points.at(-1)?.raw ?? Number.NaN];
  const margin = TABLE_MARGIN * (high - low);
  const range = stated ?? (points.length === 2 ? undefined : ([low - margin, high + margin] as const));
  return {
    ...(fullScale === undefined || low <= 0 ? {} : { railLow: 0 }),
    ...(fullScale === undefined || high >= fullScale ? {} : { railHigh: fullScale }),
    ...(range === undefined ? {} : { range }),
  };
}

/** At most one problem: each of these makes those after it meaningless. */
function checkPoints(of: MeasuredContext, points: readonly Point[]): boolean {
  const [first, second] = points;
  if (first === undefined || second === undefined) return false;
  const { path, report } = of;
  const at = [...path, 'calibration'];
  if (points.length === 2 && first.raw === second.raw) {
    report([...at, 1, 0], `both calibration points are at ${first.raw} counts; a line needs two different counts`);
    return false;
  }
  for (const [i, point] of points.entries()) {
    const what = { one: 'calibration point', both: points.length === 2 ? 'both calibration points' : 'all calibration points' };
    if (
      !checkReferences(
        of,
        what,
        [first, point],
        [
          ['calibration', 0, 1],
          ['calibration', i, 1],
        ],
      )
    )
      return false;
  }
  if (points.length === 2 && first.si === second.si) {
    report([...at, 1, 1], 'both calibration points have the same value; a line needs two different values');
    return false;
  }
  return points.length === 2 || isTable(points, of);
}

function isTable(points: readonly Point[], { path, report }: MeasuredContext): boolean {
  const direction = Math.sign((points[1]?.si ?? 0) - (points[0]?.si ?? 0));
  for (let i = 1; i < points.length; i++) {
    const [before, point] = [points[i - 1], points[i]];
    if (before === undefined || point === undefined) continue;
    if (point.raw <= before.raw) {
      report(
        [...path, 'calibration', i, 0],
        `${point.rawText} comes after ${before.rawText}; the raw numbers of a table rise from point to point`,
      );
      return false;
    }
    const step = point.si - before.si;
    if (step === 0 || step * direction < 0) {
      const fault = step === 0 ? 'is the same as' : direction > 0 ? 'is below' : 'is above';
      report(
        [...path, 'calibration', i, 1],
        `"${point.text}" ${fault} the "${before.text}" before it; the values of a table all rise or all fall`,
      );
      return false;
    }
  }
  return true;
}
