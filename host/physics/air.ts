/** Moist air as measured, and what a formula claims of itself. */

export interface MoistAir {
  /** K, > 0 */
  readonly temperatureK: number;
  /** Pa, absolute, > 0 */
  readonly pressurePa: number;
  /** 0 to 1 over liquid water, also below freezing; up to 1.05 is taken as a sensor's reading of saturation */
  readonly relativeHumidity: number;
  /** Mole fraction of carbon dioxide, 0 to 0.1. Default 4e-4, the value that CIPM-2007 recommends. */
  readonly co2MoleFraction?: number;
}

/** How far a formula itself may be trusted, apart from the uncertainty of what is put into it. */
export interface FormulaClaim {
  /** Relative standard uncertainty (k = 1) of the formula; 1 where nothing is claimed. */
  readonly relativeStandardUncertainty: number;
  /** false: outside the published range; the uncertainty is then our own, wider one. */
  readonly insideRange: boolean;
}

/** The same air with every part filled in. */
export interface CheckedAir {
  readonly temperatureK: number;
  readonly temperatureC: number;
  readonly pressurePa: number;
  readonly relativeHumidity: number;
  readonly co2MoleFraction: number;
}

const CO2_DEFAULT = 4e-4;
const CO2_MAX = 0.1;
const HUMIDITY_MAX = 1.05;

/**
 * @throws RangeError for air that cannot be: not finite, T or p not positive, humidity or carbon dioxide out of bounds
 */
export function checkAir(air: MoistAir): CheckedAir {
  const { temperatureK, pressurePa, relativeHumidity, co2MoleFraction = CO2_DEFAULT } = air;
  if (!(Number.isFinite(temperatureK) && temperatureK > 0)) throw new RangeError(`temperature ${temperatureK} K: must be above 0`);
  if (!(Number.isFinite(pressurePa) && pressurePa > 0)) throw new RangeError(`air pressure ${pressurePa} Pa: must be above 0`);
  if (!(relativeHumidity >= 0 && relativeHumidity <= HUMIDITY_MAX)) {
    throw new RangeError(`relative humidity ${relativeHumidity}: must be 0 to ${HUMIDITY_MAX}`);
  }
  if (!(co2MoleFraction >= 0 && co2MoleFraction <= CO2_MAX)) {
    throw new RangeError(`carbon dioxide mole fraction ${co2MoleFraction}: must be 0 to ${CO2_MAX}`);
  }
  return { temperatureK, temperatureC: temperatureK - 273.15, pressurePa, relativeHumidity, co2MoleFraction };
}

/** How far x lies outside [low, high]; 0 inside. The small slack keeps a limit that was converted from °C or hPa inside. */
export function excess(x: number, low: number, high: number): number {
  const slack = 1e-9 * Math.max(Math.abs(low), Math.abs(high));
  return Math.max(0, low - slack - x, x - high - slack);
}

/** 200–400 K and 1 kPa–1 MPa: where extrapolating a formula of outdoor air still means something. */
export function isFarFromOutdoors(air: CheckedAir): boolean {
  return air.temperatureK < 200 || air.temperatureK > 400 || air.pressurePa < 1e3 || air.pressurePa > 1e6;
}
