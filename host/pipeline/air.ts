/** The air at a firing, with what follows from it and how sure that is. */
import { combine, derive, type Estimate, input } from '../metrology/index.ts';
import {
  densityFormula,
  dynamicViscosityPaS,
  type MoistAir,
  moistAirDensityKgM3,
  speedOfSoundFormula,
  speedOfSoundMps,
} from '../physics/index.ts';
import type { LatchedState } from './latched-state.ts';

/** What the sound and density formulas still take as a humidity. */
const HUMIDITY_MAX = 1.05;
/** Relative, k = 1: measured viscosities of moist air scatter by about 1 % about such formulas (from memory). */
const VISCOSITY_FORMULA = 0.005;

export interface MoistAirEstimates {
  readonly speedOfSoundMps: Estimate;
  readonly densityKgM3: Estimate;
  readonly viscosityPaS: Estimate;
  /** The speed-of-sound formula is inside its published range. The density only carries the drag, and widens outside its own. */
  readonly insideRange: boolean;
}

/** The air that a ball flies through, and how it moves. */
export interface AirEstimates extends MoistAirEstimates {
  /** Along the range, from behind. */
  readonly tailwindMps: Estimate;
}

export const estimateAir = (latched: MoistAirLatched & Pick<LatchedState, 'tailwindMps'>): AirEstimates => ({
  ...estimateMoistAir(latched),
  tailwindMps: input('wind along the range', 'm/s', latched.tailwindMps),
});

type MoistAirLatched = Pick<LatchedState, 'airTemperatureK' | 'airPressurePa' | 'airHumidity'>;

export function estimateMoistAir(latched: MoistAirLatched): MoistAirEstimates {
  const temperature = input('air temperature', 'K', {
    value: latched.airTemperatureK.value,
    standardUncertainty: latched.airTemperatureK.standardUncertainty,
  });
  const pressure = input('air pressure', 'Pa', {
    value: latched.airPressurePa.value,
    standardUncertainty: latched.airPressurePa.standardUncertainty,
  });
  const humidity = input('air humidity', '1', {
    value: latched.airHumidity.value,
    standardUncertainty: latched.airHumidity.standardUncertainty,
  });
  const moistAir = (temperatureK: number, pressurePa: number, relativeHumidity: number): MoistAir => ({
    // An assumed air may be so uncertain that its edges are no air: the formulas are asked only where there is some. A
    // little beyond saturation there is, so that the air's dependence on a humidity of 100 % is not halved.
    temperatureK: Math.min(335, Math.max(200, temperatureK)),
    pressurePa: Math.max(20e3, pressurePa),
    relativeHumidity: Math.min(HUMIDITY_MAX, Math.max(0, relativeHumidity)),
  });
  const air = moistAir(temperature.value, pressure.value, humidity.value);
  const sound = derive((t, p, h) => speedOfSoundMps(moistAir(t, p, h)), temperature, pressure, humidity);
  const density = derive((t, p, h) => moistAirDensityKgM3(moistAir(t, p, h)), temperature, pressure, humidity);
  const viscosity = derive((t, p, h) => dynamicViscosityPaS(moistAir(t, p, h)), temperature, pressure, humidity);
  const soundClaim = speedOfSoundFormula(air);
  const densityClaim = densityFormula(air);
  return {
    speedOfSoundMps: withFormula(sound, 'speed-of-sound formula', soundClaim.relativeStandardUncertainty),
    densityKgM3: withFormula(density, 'air-density formula', densityClaim.relativeStandardUncertainty),
    viscosityPaS: withFormula(viscosity, 'air-viscosity formula', VISCOSITY_FORMULA),
    insideRange: soundClaim.insideRange,
  };
}

/** The formula's own error as a factor of 1. */
function withFormula(estimate: Estimate, name: string, relativeStandardUncertainty: number): Estimate {
  const factor = input(name, '1', { value: 1, standardUncertainty: relativeStandardUncertainty });
  return combine(estimate.value, [
    { of: estimate, partial: 1 },
    { of: factor, partial: estimate.value },
  ]);
}
