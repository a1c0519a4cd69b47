import type { PicturePoint } from '../../../protocol/index.ts';

/** How a picture is read along the ball's way: one number a point. */
export interface AlongLine {
  /** px along the way, from the middle of the points that it was laid through; grows as the ball flies. */
  readonly of: (point: PicturePoint) => number;
  /** How far the points stray from the straight line, px, root mean square. */
  readonly strayPx: number;
}

/**
 * The straight line through a ball's places in a camera's pictures, by least squares of the distances from it, so that
 * a camera that is rolled needs no levelling. Gravity bends the way by less than a picture element over a metre.
 * @param points  at least 2, in the order of time
 * @returns undefined where they all lie in one place
 */
export function alongLine(points: readonly PicturePoint[]): AlongLine | undefined {
  const mean = (of: (point: PicturePoint) => number): number => points.reduce((sum, point) => sum + of(point), 0) / points.length;
  const [midX, midY] = [mean(({ xPx }) => xPx), mean(({ yPx }) => yPx)];
  const xx = mean(({ xPx }) => (xPx - midX) ** 2);
  const yy = mean(({ yPx }) => (yPx - midY) ** 2);
  const xy = mean(({ xPx, yPx }) => (xPx - midX) * (yPx - midY));
  // Of the principal axis; its two ends are told apart by the order of time.
  const angle = Math.atan2(2 * xy, xx - yy) / 2;
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const along = ({ xPx, yPx }: PicturePoint): number => cos * (xPx - midX) + sin * (yPx - midY);
  const [first, last] = [points[0], points.at(-1)];
  if (!first || !last) return undefined;
  const span = along(last) - along(first);
  if (!(Math.abs(span) > 0)) return undefined;
  const sign = Math.sign(span);
  const strayPx = Math.sqrt(mean(({ xPx, yPx }) => (cos * (yPx - midY) - sin * (xPx - midX)) ** 2));
  return { of: (point) => sign * along(point), strayPx };
}
