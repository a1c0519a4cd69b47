/**
 * Water vapour in air by CIPM-2007 (vapour pressure: Davis 1992). Cramer's paper on the speed of sound used
 * the 1981 constants; the newer ones move the speed by at most 1.1 mm/s, and one vapour pressure for density
 * and speed of sound keeps the two consistent.
 */
import { type CheckedAir, checkAir, type MoistAir } from './air.ts';

/**
 * Saturation vapour pressure over liquid water, Pa.
 * @param temperatureK  K, > 0; fitted for outdoor temperatures, below 273 K it means supercooled water
 * Source: Picard, Davis, Gläser, Fujii, Metrologia 45 (2008) 149–155, App. A.1
 */
export function saturationVapourPressurePa(temperatureK: number): number {
  const t = temperatureK;
  return Math.exp(1.2378847e-5 * t * t - 1.9121316e-2 * t + 33.93711047 - 6343.1645 / t);
}

/**
 * How much the presence of air raises the saturation vapour pressure, a factor near 1.004.
 * Source: as above, App. A.1
 */
export function enhancementFactor(air: { readonly pressurePa: number; readonly temperatureC: number }): number {
  return 1.00062 + 3.14e-8 * air.pressurePa + 5.6e-7 * air.temperatureC * air.temperatureC;
}

/**
 * Mole fraction of water vapour, 0 to 1: humidity · enhancement · saturation pressure / pressure.
 * @throws RangeError for impossible air, also where so much water cannot be vapour at this pressure
 */
export function waterVapourMoleFraction(air: MoistAir): number {
  return vapourFraction(checkAir(air));
}

export function vapourFraction(air: CheckedAir): number {
  const fraction = (air.relativeHumidity * enhancementFactor(air) * saturationVapourPressurePa(air.temperatureK)) / air.pressurePa;
  if (!(fraction <= 1)) {
    throw new RangeError(
      `relative humidity ${air.relativeHumidity} at ${air.temperatureK} K needs more vapour than ${air.pressurePa} Pa can hold`,
    );
  }
  return fraction;
}
