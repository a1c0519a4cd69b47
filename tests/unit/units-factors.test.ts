/**
 * Exact factors and conversions.
 * Source: A. Thompson, B. N. Taylor, NIST SP 811 (2008), appendix B.8. Where the definition is exact in decimals the
 * digits go beyond those printed there; the printed, rounded factor is held too.
 */
import { describe, expect, it } from 'vitest';
import { type Dimension, fromSi, si, toSi, UNITS, unitOf } from '../../host/units/index.ts';

/** Round-off of a double through one multiplication and one division. */
const ROUND_OFF = 4 * Number.EPSILON;

function near(actual: number, expected: number, relative: number): void {
  expect(Math.abs(actual / expected - 1)).toBeLessThanOrEqual(relative);
}

const EXACT: readonly (readonly [symbol: string, dimension: Dimension, si: number])[] = [
  // 0.45359237 · 9.80665 / 0.0254²
  ['psi', 'pressure', 6894.757293168361],
  // Mercury of 13595.1 kg/m³ under 9.80665 m/s².
  ['inHg', 'pressure', 3386.388640341],
  ['mmHg', 'pressure', 133.322387415],
  ['Torr', 'pressure', 101_325 / 760],
  ['bar', 'pressure', 100_000],
  ['atm', 'pressure', 101_325],
  ['ft/s', 'speed', 0.3048],
  ['mph', 'speed', 0.44704],
  ['in', 'length', 0.0254],
  ['ft', 'length', 0.3048],
  ['kn', 'speed', 1852 / 3600],
  ['gr', 'mass', 6.479891e-5],
  ['lb', 'mass', 0.45359237],
  ['oz', 'mass', 0.45359237 / 16],
  ['ft·lbf', 'energy', 1.3558179483314],
  ['mTorr', 'pressure', 101_325 / 760_000],
  ['µmHg', 'pressure', 0.133322387415],
  // 1000 kg/m³ · 9.80665 m/s² · 0.0254 m
  ['inH2O', 'pressure', 249.08891],
  ['gal', 'volume', 3.785411784e-3],
  ['in³', 'volume', 1.6387064e-5],
  ['ft³', 'volume', 2.8316846592e-2],
  ['lbf·s', 'momentum', 4.4482216152605],
  ['lb/ft³', 'density', 0.45359237 / 0.3048 ** 3],
  ['kohm', 'resistance', 1000],
  ['mV', 'voltage', 0.001],
  ['mA', 'current', 0.001],
  ['psi/s', 'pressureRate', 6894.757293168361],
  ['psi/min', 'pressureRate', 6894.757293168361 / 60],
  ['MPa/min', 'pressureRate', 1e6 / 60],
  ['inHg/min', 'pressureRate', 3386.388640341 / 60],
  ['K/h', 'temperatureRate', 1 / 3600],
  ['°F/min', 'temperatureRate', 5 / 9 / 60],
];

/** As printed in appendix B.8, to its seven digits. */
const PRINTED: readonly (readonly [symbol: string, dimension: Dimension, printed: number])[] = [
  ['psi', 'pressure', 6.894757e3],
  ['inHg', 'pressure', 3.386389e3],
  ['mmHg', 'pressure', 1.333224e2],
  ['Torr', 'pressure', 1.333224e2],
  ['inH2O', 'pressure', 2.490889e2],
  ['gr', 'mass', 6.479891e-5],
  ['lb', 'mass', 4.535924e-1],
  ['oz', 'mass', 2.834952e-2],
  ['ft·lbf', 'energy', 1.355818],
  ['kn', 'speed', 5.144444e-1],
  ['gal', 'volume', 3.785412e-3],
  ['ft³', 'volume', 2.831685e-2],
  ['lb/ft³', 'density', 1.601846e1],
];

describe('unit factors', () => {
  it.each(EXACT)('1 %s of %s is exact', (symbol, dimension, expected) => {
    near(si(1, symbol, dimension), expected, ROUND_OFF);
  });

  it.each(PRINTED)('1 %s of %s is what SP 811 prints', (symbol, dimension, printed) => {
    expect(Number(si(1, symbol, dimension).toPrecision(7))).toBe(printed);
  });

  it('keeps mmHg and Torr apart: 760 mmHg is not one atmosphere', () => {
    near(si(760, 'mmHg', 'pressure'), 101_325.0144354, ROUND_OFF);
    near(si(760, 'Torr', 'pressure'), 101_325, ROUND_OFF);
  });

  it('converts there and back', () => {
    const inUnit = (pa: number, symbol: string): number => fromSi(pa, unitOf(symbol, 'pressure'));
    // Computed from the exact factors in rational arithmetic, rounded to ten digits; hence 1e-9.
    near(si(29.92, 'inHg', 'pressure'), 101_320.748, 1e-8);
    near(inUnit(101_325, 'inHg'), 29.92125558, 1e-9);
    near(inUnit(101_325, 'psi'), 14.69594878, 1e-9);
    near(si(100, 'psi', 'pressure'), 689_475.7293, 1e-9);
    near(si(2000, 'psi', 'pressure'), 13.78951459e6, 1e-9);
    near(si(1000, 'ft/s', 'speed'), 304.8, ROUND_OFF);
    near(fromSi(1, unitOf('ft/s', 'speed')), 3.280839895, 1e-9);
    near(fromSi(1, unitOf('mph', 'speed')), 2.236936292, 1e-9);
    near(si(760, 'mph', 'speed'), 339.7504, ROUND_OFF);
  });

  it('has °C and °F exact where decimals are', () => {
    expect(si(20, '°C', 'temperature')).toBe(293.15);
    expect(si(68, '°F', 'temperature')).toBe(293.15);
    expect(si(-40, '°C', 'temperature')).toBe(233.15);
    expect(si(-40, '°F', 'temperature')).toBe(233.15);
    expect(si(32, '°F', 'temperature')).toBe(273.15);
    expect(si(-459.67, '°F', 'temperature')).toBe(0);
  });

  it('converts a temperature difference without the zero point', () => {
    expect(si(0.4, '°C', 'temperatureDifference')).toBe(0.4);
    expect(si(9, '°F', 'temperatureDifference')).toBe(5);
  });

  it('has as many of a rate in a minute as the unit itself says', () => {
    const rates = UNITS.filter(({ symbol, dimension }) => dimension === 'pressureRate' && symbol.endsWith('/min'));
    expect(rates.length).toBeGreaterThan(5);
    for (const { symbol } of rates) near(60 * si(1, symbol, 'pressureRate'), si(1, symbol.replace('/min', ''), 'pressure'), ROUND_OFF);
  });

  it('spells no unit of a dimension twice', () => {
    const spellings = UNITS.flatMap((unit) => [unit.symbol, ...unit.aliases].map((text) => `${unit.dimension} ${text}`));
    expect(spellings.filter((text, i) => spellings.indexOf(text) !== i)).toEqual([]);
  });

  it('has one unit of each dimension that is SI itself', () => {
    for (const dimension of new Set(UNITS.map((unit) => unit.dimension))) {
      const same = UNITS.filter((unit) => unit.dimension === dimension && toSi(1, unit) === 1 && toSi(0, unit) === 0);
      if (dimension !== 'ratio') expect(same.length, dimension).toBeGreaterThanOrEqual(1);
    }
  });
});
