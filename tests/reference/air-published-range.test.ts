/**
 * Density and speed of sound over the whole of their published ranges, against the printed equations written out here a
 * second time, in the papers' own order. Required: 1e-6; what two orders of summation leave is far less, hence 1e-12.
 */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  densityFormula,
  moistAirDensityKgM3,
  speedOfSoundFormula,
  speedOfSoundMps,
  waterVapourMoleFraction,
} from '../../host/physics/index.ts';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });

interface Printed {
  readonly t: number;
  readonly p: number;
  readonly h: number;
  readonly xc: number;
}

/** CIPM-2007, App. A.1: mole fraction of vapour; f 1.00062 + …, p_sv exp(A T² + B T + C + D/T). */
function vapour({ t, p, h }: Printed): number {
  const kelvin = 273.15 + t;
  const saturation = Math.exp(1.2378847e-5 * kelvin ** 2 - 1.9121316e-2 * kelvin + 33.93711047 - 6.3431645e3 / kelvin);
  return (h * (1.00062 + 3.14e-8 * p + 5.6e-7 * t ** 2) * saturation) / p;
}

/** CIPM-2007 (Picard et al., Metrologia 45 (2008) 149), eq. (1) as a mixture of Mₐ and Mᵥ, App. A.2 for Z. */
function density(at: Printed): number {
  const { t, p, xc } = at;
  const kelvin = 273.15 + t;
  const xv = vapour(at);
  const [a0, a1, a2, b0, b1, c0, c1, d, e] = [
    1.58123e-6, -2.9331e-8, 1.1043e-10, 5.707e-6, -2.051e-8, 1.9898e-4, -2.376e-6, 1.83e-11, -0.765e-8,
  ] as const;
  const z =
    1 -
    (p / kelvin) * (a0 + a1 * t + a2 * t ** 2 + (b0 + b1 * t) * xv + (c0 + c1 * t) * xv ** 2) +
    (p ** 2 / kelvin ** 2) * (d + e * xv ** 2);
  const dryGPerMol = 28.96546 + 12.011 * (xc - 0.0004);
  return (p * ((1 - xv) * dryGPerMol + xv * 18.01528)) / (1000 * z * 8.314472 * kelvin);
}

/** Cramer, J. Acoust. Soc. Am. 93 (1993) 2510, eq. (15) and Table III. */
function soundMps(at: Printed): number {
  const { t, p, xc } = at;
  const xw = vapour(at);
  return (
    331.5024 +
    0.603055 * t -
    0.000528 * t ** 2 +
    (51.471935 + 0.1495874 * t - 0.000782 * t ** 2) * xw +
    (-1.82e-7 + 3.73e-8 * t - 2.93e-10 * t ** 2) * p +
    (-85.20931 - 0.228525 * t + 5.91e-5 * t ** 2) * xc -
    2.835149 * xw ** 2 -
    2.15e-13 * p ** 2 +
    29.179762 * xc ** 2 +
    0.000486 * xw * p * xc
  );
}

const air = ({ t, p, h, xc }: Printed) => ({ temperatureK: 273.15 + t, pressurePa: p, relativeHumidity: h, co2MoleFraction: xc });

test('density: 15–27 °C, 600–1100 hPa, any humidity', () => {
  fc.assert(
    fc.property(fc.record({ t: between(15, 27), p: between(60e3, 110e3), h: between(0, 1), xc: between(0, 0.002) }), (at) => {
      expect(densityFormula(air(at)).insideRange).toBe(true);
      expect(Math.abs(moistAirDensityKgM3(air(at)) / density(at) - 1)).toBeLessThan(1e-12);
    }),
    { numRuns: 2000 },
  );
});

test('speed of sound: 0–30 °C, 75–102 kPa, vapour up to 0.06, carbon dioxide up to 0.01', () => {
  fc.assert(
    fc.property(fc.record({ t: between(0, 30), p: between(75e3, 102e3), h: between(0, 1), xc: between(0, 0.01) }), (at) => {
      expect(waterVapourMoleFraction(air(at))).toBeLessThan(0.06);
      expect(speedOfSoundFormula(air(at)).insideRange).toBe(true);
      expect(Math.abs(speedOfSoundMps(air(at)) / soundMps(at) - 1)).toBeLessThan(1e-12);
    }),
    { numRuns: 2000 },
  );
});
