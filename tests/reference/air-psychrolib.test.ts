/**
 * Moist air against psychrolib 1.1.1 (ASHRAE Handbook Fundamentals 2017, ch. 1): another code, and another fit of the
 * saturation pressure. It takes moist air for an ideal gas: no compressibility, no enhancement of the vapour pressure,
 * and dry air of R = 287.042 J/(kg K). Each tolerance is what these leave.
 */
import { createRequire } from 'node:module';
import { describe, expect, test } from 'vitest';
import {
  airCompressibilityFactor,
  moistAirDensityKgM3,
  saturationVapourPressurePa,
  waterVapourMoleFraction,
} from '../../host/physics/index.ts';

/** It comes without types. °C, Pa, humidity 0 to 1, kg of water a kg of dry air. */
interface Psychrolib {
  readonly SI: unknown;
  SetUnitSystem(system: unknown): void;
  GetSatVapPres(celsius: number): number;
  GetVapPresFromRelHum(celsius: number, humidity: number): number;
  GetHumRatioFromVapPres(vapourPa: number, pressurePa: number): number;
  GetHumRatioFromRelHum(celsius: number, humidity: number, pressurePa: number): number;
  GetMoistAirDensity(celsius: number, humidityRatio: number, pressurePa: number): number;
}
const psychrolib = createRequire(import.meta.url)('psychrolib') as Psychrolib;
psychrolib.SetUnitSystem(psychrolib.SI);

const air = (celsius: number, pressurePa: number, relativeHumidity: number) => ({
  temperatureK: celsius + 273.15,
  pressurePa,
  relativeHumidity,
});
/** Molar mass of water over that of dry air, as ASHRAE rounds it. */
const WATER_RATIO = 0.621945;
/** CIPM-2007, App. A.1: how much the air raises the saturation pressure. Left out by psychrolib. */
const enhancement = (celsius: number, pressurePa: number) => 1.00062 + 3.14e-8 * pressurePa + 5.6e-7 * celsius ** 2;

/** What a range sees, from just above the ice, below which psychrolib takes the pressure over ice, and wider than CIPM-2007. */
const CASES = [0.02, 5, 10, 15, 20, 25, 27, 30].flatMap((celsius) =>
  [60e3, 75e3, 90e3, 101325, 110e3].flatMap((pressurePa) =>
    [0, 0.1, 0.5, 0.9, 1].map((humidity) => ({ celsius, pressurePa, humidity, place: `${celsius} °C ${pressurePa} Pa ${humidity}` })),
  ),
);

describe('moist air by psychrolib', () => {
  test('saturation pressure: two fits of the same measurements, within 2e-4', () => {
    for (const { celsius } of CASES) {
      const ratio = psychrolib.GetSatVapPres(celsius) / saturationVapourPressurePa(celsius + 273.15);
      expect(Math.abs(ratio - 1), `${celsius} °C`).toBeLessThan(2e-4);
    }
  });

  test('vapour pressure: ours is higher by the enhancement factor, 0.25 to 0.5 %; beside that within 2e-4', () => {
    for (const { celsius, pressurePa, humidity, place } of CASES) {
      if (humidity === 0) continue;
      const ours = waterVapourMoleFraction(air(celsius, pressurePa, humidity)) * pressurePa;
      const ratio = (psychrolib.GetVapPresFromRelHum(celsius, humidity) * enhancement(celsius, pressurePa)) / ours;
      expect(Math.abs(ratio - 1), place).toBeLessThan(2e-4);
    }
  });

  test('humidity ratio: 0.2 to 0.6 % below ours without the enhancement factor, within 2.5e-4 with it', () => {
    for (const { celsius, pressurePa, humidity, place } of CASES) {
      if (humidity === 0) continue;
      const x = waterVapourMoleFraction(air(celsius, pressurePa, humidity));
      const ours = (WATER_RATIO * x) / (1 - x);
      const bare = psychrolib.GetHumRatioFromRelHum(celsius, humidity, pressurePa);
      expect(bare / ours - 1, place).toBeLessThan(-0.002);
      expect(bare / ours - 1, place).toBeGreaterThan(-0.006);
      const vapourPa = psychrolib.GetVapPresFromRelHum(celsius, humidity) * enhancement(celsius, pressurePa);
      // The pressures' 2e-4, a little magnified where vapour is a good part of the air.
      expect(Math.abs(psychrolib.GetHumRatioFromVapPres(vapourPa, pressurePa) / ours - 1), place).toBeLessThan(2.5e-4);
    }
  });

  test('density: 1e-4 to 7e-4 below ours, as an ideal gas must be', () => {
    for (const { celsius, pressurePa, humidity, place } of CASES) {
      const ratio = psychrolib.GetHumRatioFromRelHum(celsius, humidity, pressurePa);
      const density = psychrolib.GetMoistAirDensity(celsius, ratio, pressurePa);
      const below = 1 - density / moistAirDensityKgM3(air(celsius, pressurePa, humidity));
      expect(below, place).toBeGreaterThan(1e-4);
      expect(below, place).toBeLessThan(7e-4);
    }
  });

  test('density with compressibility, enhancement and gas constant made good: within 1e-5', () => {
    // R/Mₐ of CIPM-2007. What is left: the saturation pressures' 2e-4 of at most 0.06 of vapour that is 0.38 lighter.
    const gasConstant = 287.042 / (8.314472 / 28.96546e-3);
    for (const { celsius, pressurePa, humidity, place } of CASES) {
      const here = air(celsius, pressurePa, humidity);
      const vapourPa = psychrolib.GetVapPresFromRelHum(celsius, humidity) * enhancement(celsius, pressurePa);
      const ratio = psychrolib.GetHumRatioFromVapPres(vapourPa, pressurePa);
      const real = (psychrolib.GetMoistAirDensity(celsius, ratio, pressurePa) * gasConstant) / airCompressibilityFactor(here);
      expect(Math.abs(real / moistAirDensityKgM3(here) - 1), place).toBeLessThan(1e-5);
    }
  });
});

describe('moist air as ASHRAE prints it (Handbook Fundamentals 2017, ch. 1, as quoted in psychrolib’s tests)', () => {
  test.each([
    ['2.17', 5, 872.6],
    ['2.17', 25, 3169.7],
    ['2.17', 50, 12351.3],
  ])('%s: saturation pressure at %d °C within 3e-4 of table 3', (_, celsius, printed) => {
    expect(Math.abs(saturationVapourPressurePa(celsius + 273.15) / printed - 1)).toBeLessThan(3e-4);
  });

  test('2.18: 1.084120 kg/m³ at 30 °C, humidity ratio 0.02, 95461 Pa, within 6e-4', () => {
    const x = 0.02 / (WATER_RATIO + 0.02);
    const saturated = waterVapourMoleFraction(air(30, 95461, 1));
    // Printed for an ideal gas: up to 6e-4 below a real one.
    expect(Math.abs(moistAirDensityKgM3(air(30, 95461, x / saturated)) / 1.08412 - 1)).toBeLessThan(6e-4);
  });
});
