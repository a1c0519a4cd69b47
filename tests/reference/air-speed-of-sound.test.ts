import { describe, expect, it } from 'vitest';
import { speedOfSoundFormula, speedOfSoundMps, waterVapourMoleFraction } from '../../host/physics/index.ts';
import { AIR_GRID } from './fixtures/air-grid.ts';

const air = (tC: number, relativeHumidity: number, pressurePa: number, co2MoleFraction: number) => ({
  temperatureK: tC + 273.15,
  pressurePa,
  relativeHumidity,
  co2MoleFraction,
});

// Cramer, J. Acoust. Soc. Am. 93(5) (1993) 2510, eq. (15), Table III, with the vapour pressure of Davis 1992; computed
// outside this project from the printed coefficients to six decimals, hence 1e-6 m/s.
const CRAMER = [
  ['1.1', 0, 0, 101325, 314e-6, 331.454999],
  ['1.3', 0, 0, 101325, 4e-4, 331.447672],
  ['1.4', 20, 0, 101325, 4e-4, 343.359467],
  ['1.5', 20, 0.5, 101325, 4e-4, 343.986887],
  ['1.6', 20, 0.5, 101325, 314e-6, 343.994556],
  ['1.7', 30, 0.6, 101325, 4e-4, 350.542286],
  ['1.8', 25, 0.5, 101325, 4e-4, 347.126821],
  ['1.9', 15, 0, 101325, 4e-4, 340.423343],
  ['1.10', 10, 0.8, 95000, 4e-4, 338.007453],
  ['1.11', 22, 0.4, 98000, 4e-4, 345.113972],
] as const;

/** The vapour pressure of Cramer's own appendix (Giacomo 1981) gives these; ours may differ by 1.1 mm/s (1.13). */
const CRAMER_WITH_1981_VAPOUR = [
  [20, 0.5, 101325, 343.986729],
  [30, 0.6, 101325, 350.541758],
  [10, 0.8, 95000, 338.007386],
] as const;

describe('speed of sound in moist air', () => {
  it.each(CRAMER)('%s: %d °C, humidity %d, %d Pa, CO₂ %d', (_, tC, rh, pPa, co2, expected) => {
    expect(Math.abs(speedOfSoundMps(air(tC, rh, pPa, co2)) - expected)).toBeLessThan(1e-6);
  });

  it('1.2: 331.45 m/s at 0 °C, dry, 314 ppm carbon dioxide, the point that the fit is tied to (10 mm/s, as printed)', () => {
    expect(Math.abs(speedOfSoundMps(air(0, 0, 101325, 314e-6)) - 331.45)).toBeLessThan(0.01);
  });

  it('1.12: mole fraction of vapour', () => {
    expect(Math.abs(waterVapourMoleFraction(air(20, 0.5, 101325, 4e-4)) - 0.01158934)).toBeLessThan(1e-8);
  });

  it.each(CRAMER_WITH_1981_VAPOUR)('1.13: %d °C, humidity %d: within 1.1 mm/s of the older vapour pressure', (tC, rh, pPa, expected) => {
    expect(Math.abs(speedOfSoundMps(air(tC, rh, pPa, 4e-4)) - expected)).toBeLessThan(0.0011);
  });

  it('agrees with the grid to half a unit of its sixth decimal', () => {
    for (const [tC, pPa, rh, , , , expected] of AIR_GRID) {
      expect(Math.abs(speedOfSoundMps(air(tC, rh, pPa, 4e-4)) - expected), `${tC} °C ${pPa} Pa ${rh}`).toBeLessThan(6e-7);
    }
  });

  it('1.15: within 500 ppm of ISO 9613-1 (A.5), 343.2 √(T/293.15), in dry air: another model, known to be 380–490 ppm lower', () => {
    for (const tC of [0, 15, 20, 30]) {
      const iso = 343.2 * Math.sqrt((tC + 273.15) / 293.15);
      const ratio = speedOfSoundMps(air(tC, 0, 101325, 4e-4)) / iso - 1;
      expect(ratio).toBeGreaterThan(350e-6);
      expect(ratio).toBeLessThan(500e-6);
    }
  });
});

describe('what the formula for the speed of sound claims', () => {
  it('1.14: 300 ppm as a rectangle, up to the very edge of the published range', () => {
    for (const [tC, pPa, rh] of [
      [0, 75000, 0],
      [30, 102000, 0.9],
      [0, 102000, 1],
      [20, 101325, 0.5],
    ] as const) {
      const claim = speedOfSoundFormula(air(tC, rh, pPa, 4e-4));
      expect(claim.insideRange).toBe(true);
      expect(claim.relativeStandardUncertainty).toBeCloseTo(300e-6 / Math.sqrt(3), 12);
    }
  });

  it.each([
    ['cold', -5, 0.5, 101325, 4e-4],
    ['hot', 35, 0.2, 101325, 4e-4],
    ['thin', 20, 0.5, 70000, 4e-4],
    ['dense', 20, 0.5, 105000, 4e-4],
    ['carbon dioxide', 20, 0.5, 101325, 0.02],
    ['water', 40, 1, 101325, 4e-4],
  ] as const)('says so and widens outside it: %s', (_, tC, rh, pPa, co2) => {
    const claim = speedOfSoundFormula(air(tC, rh, pPa, co2));
    expect(claim.insideRange).toBe(false);
    expect(claim.relativeStandardUncertainty).toBeGreaterThan(300e-6 / Math.sqrt(3));
  });

  it('claims nothing far from outdoor air', () => {
    expect(speedOfSoundFormula(air(200, 0, 101325, 4e-4))).toEqual({ relativeStandardUncertainty: 1, insideRange: false });
    expect(speedOfSoundFormula(air(20, 0, 500, 4e-4))).toEqual({ relativeStandardUncertainty: 1, insideRange: false });
  });

  it('outside the range its bound covers an ideal-gas mixture', () => {
    // Heat capacities at low pressure: dry air by kelvin in kJ/(kg K), and water 33.6 J/(mol K) at 300 K (textbook tables
    // of ideal-gas properties, from memory; 0.1 % of them is 100 ppm of the speed).
    const dryAirKjPerKgK = [1.0025, 1.0031, 1.0049, 1.0082, 1.0135];
    let compared = 0;
    for (const tC of [-60, -40, -20, -10, 5, 20, 35, 50, 60, 80, 100]) {
      for (const rh of [0, 0.5, 1]) {
        for (const pPa of [20e3, 60e3, 101325, 200e3]) {
          const here = air(tC, rh, pPa, 4e-4);
          const kelvin = here.temperatureK;
          let xw: number;
          try {
            xw = waterVapourMoleFraction(here);
          } catch {
            continue; // boils: no such air
          }
          const claim = speedOfSoundFormula(here);
          if (claim.insideRange) continue;
          const place = (kelvin - 200) / 50;
          const left = dryAirKjPerKgK[Math.floor(place)] ?? Number.NaN;
          const right = dryAirKjPerKgK[Math.floor(place) + 1] ?? Number.NaN;
          const dry = (left + (right - left) * (place % 1)) * 28.9655;
          const heat = (1 - xw) * dry + xw * (33.59 + 0.0058 * (kelvin - 300));
          const kgPerMol = ((1 - xw) * 28.9655 + xw * 18.01528) * 1e-3;
          const ideal = Math.sqrt(((heat / (heat - 8.314462)) * 8.314462 * kelvin) / kgPerMol);
          const bound = claim.relativeStandardUncertainty * Math.sqrt(3);
          expect(Math.abs(speedOfSoundMps(here) / ideal - 1), `${tC} °C ${pPa} Pa ${rh}`).toBeLessThan(bound);
          compared++;
        }
      }
    }
    expect(compared).toBeGreaterThan(80);
  });
});

describe('impossible air', () => {
  const good = { temperatureK: 293.15, pressurePa: 101325, relativeHumidity: 0.5 };
  it.each([
    { temperatureK: 0 },
    { temperatureK: -1 },
    { temperatureK: Number.NaN },
    { temperatureK: Number.POSITIVE_INFINITY },
    { pressurePa: 0 },
    { pressurePa: Number.NaN },
    { relativeHumidity: -0.01 },
    { relativeHumidity: 1.06 },
    { relativeHumidity: Number.NaN },
    { co2MoleFraction: -1e-6 },
    { co2MoleFraction: Number.NaN },
    { pressurePa: 1000, relativeHumidity: 1 },
  ])('is refused: %o', (wrong) => {
    expect(() => speedOfSoundMps({ ...good, ...wrong })).toThrow(RangeError);
    expect(() => speedOfSoundFormula({ ...good, ...wrong })).toThrow(RangeError);
  });
});
