/** Where the search for a picture's fit begins: straight lines. */
import type { CameraSummary } from '../../../protocol/index.ts';
import { straightLine } from '../../metrology/index.ts';
import type { SeenMark } from './nuisances.ts';

export interface RoughPicture {
  readonly scalePxPerM: number;
  readonly footPx: number;
  readonly fromM: number;
  readonly toM: number;
  readonly speedMps: number;
  /** When the ball was in the middle of what was seen, on the camera's own axis. */
  readonly middleTimeS: number;
  readonly middleM: number;
}

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
  const seen = straightLine(onLine.map((x, i) => ({ x, y: marksPx[i] as number, standardUncertainty: 1 })));
  const passing = straightLine(timesS.map((x, i) => ({ x, y: ballsPx[i] as number, standardUncertainty: 1 })));
  if (!seen || !passing) return undefined;
  const { slope: scalePxPerM } = seen;
  const footPx = seen.levelAtMiddle - scalePxPerM * seen.middleX;
  const speedMps = passing.slope / scalePxPerM;
  const places = ballsPx.map((px) => placeM.value + (px - footPx) / scalePxPerM);
  const [fromM, toM] = [Math.min(...places), Math.max(...places)];
  const middleM = (fromM + toM) / 2;
  const middleTimeS = passing.middleX + (middleM - placeM.value - (passing.levelAtMiddle - footPx) / scalePxPerM) / speedMps;
  const all = [scalePxPerM, footPx, fromM, toM, speedMps, middleTimeS];
  if (!(speedMps > 0 && toM > fromM) || !all.every(Number.isFinite)) return undefined;
  return { scalePxPerM, footPx, fromM, toM, speedMps, middleTimeS, middleM };
}
