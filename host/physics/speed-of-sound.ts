import { checkAir, excess, type FormulaClaim, isFarFromOutdoors, type MoistAir } from './air.ts';
import { vapourFraction } from './water-vapour.ts';

/** Cramer 1993, Table III. */
const A = [
  331.5024, 0.603055, -0.000528, 51.471935, 0.1495874, -0.000782, -1.82e-7, 3.73e-8, -2.93e-10, -85.20931, -0.228525, 5.91e-5, -2.835149,
  -2.15e-13, 29.179762, 0.000486,
] as const;

/**
 * Speed of sound in moist air at zero frequency, m/s.
 * @throws RangeError for impossible air
 * Source: O. Cramer, J. Acoust. Soc. Am. 93(5) (1993) 2510–2516, eq. (15) and Table III, with the water vapour
 * of CIPM-2007 (see water-vapour.ts)
 */
export function speedOfSoundMps(air: MoistAir): number {
  const checked = checkAir(air);
  const { temperatureC: t, pressurePa: p, co2MoleFraction: xc } = checked;
  const xw = vapourFraction(checked);
  return (
    A[0] +
    (A[1] + A[2] * t) * t +
    (A[3] + (A[4] + A[5] * t) * t) * xw +
    (A[6] + (A[7] + A[8] * t) * t) * p +
    (A[9] + (A[10] + A[11] * t) * t) * xc +
    A[12] * xw * xw +
    A[13] * p * p +
    A[14] * xc * xc +
    A[15] * xw * p * xc
  );
}

/**
 * What the formula for the speed of sound claims.
 *
 * Inside 0–30 °C, 75–102 kPa, water ≤ 0.06, carbon dioxide ≤ 0.01 the paper bounds the error by 300 ppm. It says
 * nothing of its distribution, so the bound is the half-width of a rectangle (GUM 4.3.7): 300 ppm/√3 = 173 ppm.
 * Outside, the bound grows with the distance x from the range, our own choice: 30 ppm a kelvin and 5 ppm a kelvin
 * squared; 10 ppm a kilopascal; (1e4 x + 2e5 x²) ppm for water; 100 ppm for each 0.001 of carbon dioxide. A test
 * holds that it covers the distance from an ideal-gas mixture from −60 to +100 °C and 20 to 200 kPa.
 * Beyond 200–400 K or 1 kPa–1 MPa: no claim.
 * @throws RangeError for impossible air
 */
export function speedOfSoundFormula(air: MoistAir): FormulaClaim {
  const checked = checkAir(air);
  const kelvin = excess(checked.temperatureK, 273.15, 303.15);
  const pascal = excess(checked.pressurePa, 75e3, 102e3);
  const water = excess(vapourFraction(checked), 0, 0.06);
  const co2 = excess(checked.co2MoleFraction, 0, 0.01);
  const insideRange = kelvin + pascal + water + co2 === 0;
  if (isFarFromOutdoors(checked)) return { relativeStandardUncertainty: 1, insideRange };
  const boundPpm = 300 + 30 * kelvin + 5 * kelvin ** 2 + 0.01 * pascal + 1e4 * water + 2e5 * water ** 2 + 1e5 * co2;
  return { relativeStandardUncertainty: (boundPpm * 1e-6) / Math.sqrt(3), insideRange };
}
