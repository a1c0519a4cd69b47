/**
 * Does the sun shine on the weather sensor?
 *
 * A sensor that the sun warms warms the air in its housing. The vapour in that air stays what it was, so the vapour
 * pressure e = humidity · e_sat(T) holds still while the temperature climbs and the humidity falls: nothing was mixed in.
 * The air outside warms so too, but slowly: on a clear morning by 2 to 3 K an hour (common experience), with gusts of
 * some tenths of a kelvin. A rise of 2 K within ten minutes, four times the fastest morning, at constant vapour pressure
 * is the housing. A front changes both, and is let pass. WMO-No. 8, chapter 2 (from memory): a thermometer that is
 * exposed to radiation may read up to 25 K too warm.
 */
import { saturationVapourPressurePa } from '../../physics/index.ts';

/** A mean over ten seconds. */
export interface AirPoint {
  readonly atNs: number;
  readonly temperatureK: number;
  readonly relativeHumidity: number;
}

export interface SunState {
  /** The last 20 minutes, at most 120. */
  readonly points: readonly AirPoint[];
  /** Temperature before it began to climb; undefined: in the shade. */
  readonly shadeK: number | undefined;
  readonly sinceNs: number;
}

export const IN_SHADE: SunState = { points: [], shadeK: undefined, sinceNs: 0 };

const POINTS_MAX = 120;
const WINDOW_NS = 600e9;
const CLIMB_K = 2;
/** Vapour pressure that moved by less than this share, 3 % being what a humidity sensor's own lag makes of it, is the same. */
const SAME_VAPOUR = 0.06;
/** Back by this share of the climb: the shade again. */
const BACK_SHARE = 0.5;
/** After so long the air itself may have caught up, and the past no longer tells. */
const FORGET_NS = 2 * 3600e9;

export function takeSun(state: SunState, point: AirPoint): SunState {
  const points = [...state.points.slice(-(POINTS_MAX - 1)), point];
  if (state.shadeK !== undefined) {
    const isBack = point.temperatureK - state.shadeK < BACK_SHARE * CLIMB_K || point.atNs - state.sinceNs > FORGET_NS;
    return isBack ? { points: [point], shadeK: undefined, sinceNs: point.atNs } : { ...state, points };
  }
  const window = points.filter((each) => point.atNs - each.atNs <= WINDOW_NS);
  const coolest = window.reduce((least, each) => (each.temperatureK < least.temperatureK ? each : least), point);
  const isClimb = point.temperatureK - coolest.temperatureK >= CLIMB_K && point.relativeHumidity < coolest.relativeHumidity;
  const isSame = Math.abs(vapourPa(point) / vapourPa(coolest) - 1) < SAME_VAPOUR;
  return isClimb && isSame ? { points, shadeK: coolest.temperatureK, sinceNs: point.atNs } : { ...state, points };
}

const vapourPa = (point: AirPoint): number => Math.max(0, point.relativeHumidity) * saturationVapourPressurePa(point.temperatureK);

/**
 * How far the air itself may be from what a sensor in the sun reads, k = 1: by the whole climb since the shade, and by
 * what the humidity would be there with the same vapour. 0 in the shade.
 */
export function sunDoubt({ shadeK }: SunState, { temperatureK, relativeHumidity }: Omit<AirPoint, 'atNs'>): Omit<AirPoint, 'atNs'> {
  if (shadeK === undefined || !(temperatureK > shadeK)) return { temperatureK: 0, relativeHumidity: 0 };
  const moister = saturationVapourPressurePa(temperatureK) / saturationVapourPressurePa(shadeK);
  const there = Math.min(1, Math.max(0, relativeHumidity) * moister);
  return { temperatureK: temperatureK - shadeK, relativeHumidity: Math.max(0, there - relativeHumidity) };
}
