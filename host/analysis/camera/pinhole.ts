/**
 * A pinhole camera that looks at the flight line from the side, in the plane of its lens and the line.
 *
 * What lies at another depth is seen where the ray from the lens through it meets the flight line; that needs only
 * where the camera stands, not how it is turned. Along the line the picture is then a projective map of one dimension,
 * and its bend says how far the camera is turned from square. No lens is without distortion: the marks' residuals show it.
 * Source: Hartley & Zisserman, Multiple View Geometry, 2nd ed., 2.2.3 and 2.5 (from memory); the tests derive it anew in three dimensions.
 */
export interface Pinhole {
  /** Picture elements a metre at the foot of the lens's perpendicular; its sign says which way the picture runs. */
  readonly scalePxPerM: number;
  /** Where the foot of the perpendicular is seen. */
  readonly footPx: number;
  /** From square to the flight line; positive: it looks down the range. */
  readonly turnRad: number;
  /** Of the foot of the perpendicular, along the flight line. */
  readonly placeM: number;
  /** From the lens to the flight line. */
  readonly distanceM: number;
}

/** @param behindM  the point's depth behind the flight line, as the camera sees it; > −distanceM */
export function seenAtPx(camera: Pinhole, pointM: number, behindM: number): number {
  const { scalePxPerM, footPx, turnRad, distanceM } = camera;
  const onLineM = (pointM - camera.placeM) * (distanceM / (distanceM + behindM));
  return (footPx + scalePxPerM * onLineM) / (1 + (Math.tan(turnRad) / distanceM) * onLineM);
}

/** Where on the flight line a place in the picture is. */
export function placeOnLineM(camera: Pinhole, px: number): number {
  const { scalePxPerM, footPx, turnRad, distanceM, placeM } = camera;
  return placeM + (px - footPx) / (scalePxPerM - (px * Math.tan(turnRad)) / distanceM);
}
