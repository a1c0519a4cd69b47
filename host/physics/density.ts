import { type CheckedAir, checkAir, excess, type FormulaClaim, isFarFromOutdoors, type MoistAir } from './air.ts';
import { vapourFraction } from './water-vapour.ts';

const GAS_CONSTANT = 8.314472;
const WATER_KG_PER_MOL = 18.01528e-3;

/**
 * Compressibility factor of moist air: pV/nRT, near 0.9996.
 * @throws RangeError for impossible air
 * Source: CIPM-2007, App. A.2
 */
export function airCompressibilityFactor(air: MoistAir): number {
  const checked = checkAir(air);
  return compressibility(checked, vapourFraction(checked));
}

function compressibility(air: CheckedAir, xv: number): number {
  const t = air.temperatureC;
  const reduced = air.pressurePa / air.temperatureK;
  const linear = 1.58123e-6 + (-2.9331e-8 + 1.1043e-10 * t) * t + (5.707e-6 - 2.051e-8 * t) * xv + (1.9898e-4 - 2.376e-6 * t) * xv * xv;
  return 1 - reduced * linear + reduced * reduced * (1.83e-11 - 0.765e-8 * xv * xv);
}

/**
 * Density of moist air, kg/m³.
 * @throws RangeError for impossible air
 * Source: Picard, Davis, Gläser, Fujii, "Revised formula for the density of moist air (CIPM-2007)",
 * Metrologia 45 (2008) 149–155, eqs (1) and (5b). Its gas constant (CODATA 2006) belongs to the fit: keep it.
 */
export function moistAirDensityKgM3(air: MoistAir): number {
  const checked = checkAir(air);
  const xv = vapourFraction(checked);
  const dryKgPerMol = (28.96546 + 12.011 * (checked.co2MoleFraction - 4e-4)) * 1e-3;
  const dry = (checked.pressurePa * dryKgPerMol) / (compressibility(checked, xv) * GAS_CONSTANT * checked.temperatureK);
  return dry * (1 - xv * (1 - WATER_KG_PER_MOL / dryKgPerMol));
}

/**
 * What the density formula claims.
 *
 * Inside 15–27 °C and 600–1100 hPa the published relative standard uncertainty of the equation is 2.2e-5.
 * Outside it grows by 2e-6 a kelvin, 2e-6 a kilopascal, 2e-5 for each 0.001 of water above 0.04 and 1e-3 for each
 * 0.001 of carbon dioxide above 0.01: our own, set by how far the compressibility factor drifts from published
 * second virial coefficients of dry air at 200 and 400 K. Beyond 200–400 K or 1 kPa–1 MPa: no claim.
 * @throws RangeError for impossible air
 */
export function densityFormula(air: MoistAir): FormulaClaim {
  const checked = checkAir(air);
  const kelvin = excess(checked.temperatureK, 288.15, 300.15);
  const pascal = excess(checked.pressurePa, 60e3, 110e3);
  // 27 °C at 600 hPa and saturation holds 0.06 of water: inside by the published limits, so it must not widen there.
  const water = kelvin + pascal === 0 ? 0 : excess(vapourFraction(checked), 0, 0.04);
  const co2 = excess(checked.co2MoleFraction, 0, 0.01);
  const insideRange = kelvin + pascal + co2 === 0;
  if (isFarFromOutdoors(checked)) return { relativeStandardUncertainty: 1, insideRange };
  return { relativeStandardUncertainty: 2.2e-5 + 2e-6 * kelvin + 2e-9 * pascal + 0.02 * water + co2, insideRange };
}
