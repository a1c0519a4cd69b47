/** The world's own air against the formulas that a laboratory would use: it must be near them, and need not be them. */
import { expect, test } from 'vitest';
import { moistAir } from '../../firmware-sim/world/air.ts';

test('density agrees with CIPM-2007', () => {
  // Picard et al. 2008, Metrologia 45, 149; computed from the published coefficients. t/°C, p/Pa, RH, kg/m³.
  for (const [celsius, pressurePa, humidity, density] of [
    [20, 101325, 0.5, 1.199313895],
    [20, 101325, 0, 1.204557342],
    [15, 101325, 0, 1.225521345],
    [25, 101325, 0.5, 1.177315374],
    [23, 99000, 0.4, 1.159961829],
    [20, 75000, 0.5, 0.8862765949],
    [27, 110000, 1, 1.261551617],
  ] as const) {
    expect(moistAir(celsius + 273.15, pressurePa, humidity).densityKgM3 / density - 1).toBeCloseTo(0, 4);
  }
});

test('speed of sound agrees with Cramer (1993)', () => {
  // J. Acoust. Soc. Am. 93, 2510, eq. (15), CO2 400 ppm. t/°C, p/Pa, RH, m/s.
  for (const [celsius, pressurePa, humidity, speed] of [
    [0, 101325, 0, 331.447672],
    [20, 101325, 0, 343.359467],
    [20, 101325, 0.5, 343.986729],
    [30, 101325, 0.6, 350.541758],
    [10, 95000, 0.8, 338.007386],
    [22, 98000, 0.4, 345.113808],
  ] as const) {
    expect(Math.abs(moistAir(celsius + 273.15, pressurePa, humidity).speedOfSoundMps / speed - 1)).toBeLessThan(3e-4);
  }
});
