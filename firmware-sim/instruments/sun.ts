/** The sun on a sensor's housing: the air in it is warmed and keeps its vapour, so that its humidity falls. */
import type { AirSample } from '../boards/firmata-board/index.ts';
import { saturationPressurePa } from '../world/air.ts';

const RISE_K = 6;
/** At the real pace, s. */
const TIME_CONSTANT_S = 120;

/** @param forS  how long it has shone, times the pace's factor; 0 or less: not yet */
export function sunned(air: AirSample, forS: number): AirSample {
  if (forS <= 0) return air;
  const temperatureK = air.temperatureK + RISE_K * (1 - Math.exp(-forS / TIME_CONSTANT_S));
  const share = saturationPressurePa(air.temperatureK) / saturationPressurePa(temperatureK);
  return { ...air, temperatureK, relativeHumidity: air.relativeHumidity * share };
}
