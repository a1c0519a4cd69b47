import { checkAir, type MoistAir } from './air.ts';
import { vapourFraction } from './water-vapour.ts';

/**
 * Dynamic viscosity of moist air, Pa·s; meant for outdoor temperatures, where it lies within 0.1 % of Sutherland's
 * law for dry air. It enters through the Reynolds number only, on which drag hangs weakly.
 * @throws RangeError for impossible air
 * Source: Zuckerwar & Meredith, J. Acoust. Soc. Am. 77 (1985): viscosity of humid air as a quadratic in
 * temperature and water mole fraction
 */
export function dynamicViscosityPaS(air: MoistAir): number {
  const checked = checkAir(air);
  const t = checked.temperatureK;
  const xw = vapourFraction(checked);
  return (84.986 + 7 * t + 113.157 * xw - t * xw - 3.7501e-3 * t * t - 100.015 * xw * xw) * 1e-8;
}
