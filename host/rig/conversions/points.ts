/**
 * Straight lines between calibration points, and along the outermost ones beyond them.
 *
 * Two points are a line; that is also a ratiometric or a 0–5 V transducer. More are a table. Straight pieces and not a
 * smooth curve: what is said between two points of a certificate then needs no trust in how the curve was chosen, and
 * what it is off by is bounded by the sensor's curvature alone.
 */
import { ascending, converted, type RawBounds, rawFault } from './raw-bounds.ts';

export interface CalibrationPoint {
  readonly raw: number;
  readonly si: number;
}

export interface PointsConversion {
  readonly kind: 'line' | 'table';
  /** Two or more, raw strictly ascending, SI strictly rising or strictly falling. */
  readonly points: readonly [CalibrationPoint, CalibrationPoint, ...CalibrationPoint[]];
  readonly bounds: RawBounds;
}

export function convertPoints({ points, bounds }: PointsConversion, raw: number): ReturnType<typeof converted> {
  const [low, high] = pieceAt(points, raw);
  return converted(low.si + ((raw - low.raw) * (high.si - low.si)) / (high.raw - low.raw), rawFault(bounds, raw));
}

export function pointsRange({ points }: PointsConversion): readonly [number, number] {
  return ascending(points[0].si, (points.at(-1) as CalibrationPoint).si);
}

/** At most 64 points, so they are gone through. */
function pieceAt(points: PointsConversion['points'], raw: number): readonly [CalibrationPoint, CalibrationPoint] {
  let piece: readonly [CalibrationPoint, CalibrationPoint] = [points[0], points[1]];
  for (let i = 1; i < points.length - 1; i++) {
    const [low, high] = [points[i], points[i + 1]];
    if (low === undefined || high === undefined || raw < low.raw) break;
    piece = [low, high];
  }
  return piece;
}
