/** Where the search for a picture's fit begins: each step by itself, in closed form. */
import type { CameraSummary } from '../../../protocol/index.ts';
import { straightLine, weightedLinearFit } from '../../metrology/index.ts';
import type { SeenMark } from './nuisances.ts';
import { type Pinhole, placeOnLineM } from './pinhole.ts';

export interface RoughPicture {
  readonly scalePxPerM: number;
  readonly footPx: number;
  readonly turnRad: number;
  readonly fromM: number;
  readonly toM: number;
  readonly speedMps: number;
  /** When the ball was in the middle of what was seen, on the camera's own axis. */
  readonly middleTimeS: number;
  readonly middleM: number;
}

/** A start further round is noise of the marks. */
const TURN_RAD_MAX = Math.PI / 3;

/**
 * @param marksPx  along the ball's way, as `marks`
 * @param ballsPx  likewise, as `timesS`, ascending
 * @returns undefined where marks or ball stand still, or the ball flies backwards
 */
export function roughPicture(
  { placeM, distanceM, standoffM }: CameraSummary,
  marks: readonly SeenMark[],
  marksPx: readonly number[],
  timesS: readonly number[],
  ballsPx: readonly number[],
): RoughPicture | undefined {
  const onLine = marks.map((mark) => {
    const behindM = (mark.standoffM ?? standoffM).value;
    return ((mark.positionM.value - placeM.value) * distanceM.value) / (distanceM.value + behindM);
  });
  const at = { placeM: placeM.value, distanceM: distanceM.value };
  const pinhole = turned(onLine, marksPx, ballsPx, at) ?? square(onLine, marksPx, at);
  if (!pinhole) return undefined;
  const places = ballsPx.map((px) => placeOnLineM(pinhole, px));
  const passing = straightLine(timesS.map((x, i) => ({ x, y: places[i] as number, standardUncertainty: 1 })));
  if (!passing) return undefined;
  const [fromM, toM] = [Math.min(...places), Math.max(...places)];
  const middleM = (fromM + toM) / 2;
  const { slope: speedMps, middleX, levelAtMiddle } = passing;
  const middleTimeS = middleX + (middleM - levelAtMiddle) / speedMps;
  const { scalePxPerM, footPx, turnRad } = pinhole;
  const all = [scalePxPerM, footPx, turnRad, fromM, toM, speedMps, middleTimeS];
  if (!(speedMps > 0 && toM > fromM) || !all.every(Number.isFinite)) return undefined;
  return { scalePxPerM, footPx, turnRad, fromM, toM, speedMps, middleTimeS, middleM };
}

type Stand = Pick<Pinhole, 'placeM' | 'distanceM'>;

function square(onLine: readonly number[], marksPx: readonly number[], stand: Stand): Pinhole | undefined {
  const seen = straightLine(onLine.map((x, i) => ({ x, y: marksPx[i] as number, standardUncertainty: 1 })));
  return seen && { ...stand, scalePxPerM: seen.slope, footPx: seen.levelAtMiddle - seen.slope * seen.middleX, turnRad: 0 };
}

/** From three marks on: px·(1 + bend·x) = foot + scale·x is straight in all three. */
function turned(onLine: readonly number[], marksPx: readonly number[], ballsPx: readonly number[], stand: Stand): Pinhole | undefined {
  if (onLine.length < 3) return undefined;
  const fit = weightedLinearFit({
    design: onLine.map((x, i) => [x, 1, -x * (marksPx[i] as number)]),
    observed: marksPx,
    standardUncertainties: marksPx.map(() => 1),
  });
  if (!fit) return undefined;
  const [scalePxPerM, footPx, bend] = fit.values as [number, number, number];
  const turnRad = Math.atan(bend * stand.distanceM);
  const pinhole = { ...stand, scalePxPerM, footPx, turnRad };
  // All that was seen lies before the lens.
  const isBefore = (xM: number): boolean => 1 + bend * xM > 0;
  const isSound = onLine.every(isBefore) && ballsPx.every((px) => isBefore(placeOnLineM(pinhole, px) - stand.placeM));
  return Math.abs(turnRad) < TURN_RAD_MAX && isSound ? pinhole : undefined;
}
