import { describe, expect, it } from 'vitest';
import { type Dimension, parseQuantity, parseUncertainty, parseUnit, type QuantityOptions } from '../../host/units/index.ts';

function read(text: string, dimension: Dimension, options: QuantityOptions = {}) {
  const quantity = parseQuantity(text, dimension, options);
  if (!quantity.ok) throw new Error(`${text}: ${quantity.problem.message}`);
  return quantity;
}

function refused(text: string, dimension: Dimension, options: QuantityOptions = {}) {
  const quantity = parseQuantity(text, dimension, options);
  if (quantity.ok) throw new Error(`${text} was read as ${quantity.valueSi}`);
  return quantity.problem;
}

function spread(text: string, dimension: Dimension, spanSi?: number): number {
  const read = parseUncertainty(text, dimension, spanSi === undefined ? {} : { spanSi });
  if (!read.ok) throw new Error(`${text}: ${read.problem.message}`);
  return read.standardUncertaintySi;
}

describe('quantity text', () => {
  it.each<[string, Dimension, number, number]>([
    ['1.2000 m ± 0.3 mm', 'length', 1.2, 0.15e-3],
    ['24.5 °C ± 0.4 K', 'temperature', 297.65, 0.2],
    ['24.5 °C ± 0.4 °C', 'temperature', 297.65, 0.2],
    ['24.5 degC ± 0.4 degC', 'temperature', 297.65, 0.2],
    ['50 °F ± 1.8 °F', 'temperature', 283.15, 0.5],
    ['16 MHz ± 50 ppm rect', 'frequency', 16e6, 800 / Math.sqrt(3)],
    ['0 us ± 0.4 us k=2', 'time', 0, 0.2e-6],
    ['3 µs ± 0.3 μs k = 3', 'time', 3e-6, 0.1e-6],
    ['12 mm ± 0.1 mm std', 'length', 0.012, 1e-4],
    ['126.0 g ± 0.2 g', 'mass', 0.126, 1e-4],
    ['126.0g+-0.2g', 'mass', 0.126, 1e-4],
    ['126.0 g +/- 0.2 g', 'mass', 0.126, 1e-4],
    ['126 g ± 1 %', 'mass', 0.126, 0.00063],
    ['126 g ± 1 % of value', 'mass', 0.126, 0.00063],
    ['-2 m ± 1 %', 'length', -2, 0.01],
    ['\u22122 m', 'length', -2, 0],
    ['60 % ± 40 %', 'ratio', 0.6, 0.2],
    ['60 % ± 40 % of value', 'ratio', 0.6, 0.12],
    ['1.5e3 mm', 'length', 1.5, 0],
    ['.5 m', 'length', 0.5, 0],
    ['45 L', 'volume', 0.045, 0],
    ['1000 ft/s', 'speed', 304.8, 0],
    ['1 ft*lbf', 'energy', 1.3558179483314, 0],
    ['1 ft-lbf', 'energy', 1.3558179483314, 0],
    ['1140 kg/m^3', 'density', 1140, 0],
  ])('reads %s', (text, dimension, valueSi, standardUncertaintySi) => {
    const quantity = read(text, dimension);
    expect(quantity.valueSi).toBeCloseTo(valueSi, 12);
    expect(Math.abs(quantity.standardUncertaintySi - standardUncertaintySi)).toBeLessThanOrEqual(1e-14 * Math.max(1, valueSi));
    expect(quantity.reference).toBeUndefined();
  });

  it('keeps gauge and absolute pressure apart', () => {
    expect(read('3.5 MPa gauge', 'pressure')).toMatchObject({ valueSi: 3.5e6, reference: 'gauge' });
    expect(read('29.92 inHg absolute', 'pressure').reference).toBe('absolute');
    expect(read('98 kPa abs ± 5 kPa', 'pressure')).toMatchObject({ reference: 'absolute', standardUncertaintySi: 2500 });
    expect(read('5 kPa', 'pressure', { reference: 'forbidden' })).not.toHaveProperty('reference');
    expect(refused('5 kPa gauge', 'pressure', { reference: 'forbidden' })).toMatchObject({ offset: 6, found: 'gauge' });
    expect(refused('4.0 MPa', 'pressure')).toMatchObject({ offset: 7, expected: 'gauge or absolute' });
    expect(refused('98 kPa ± 5 kPa', 'pressure')).toMatchObject({ offset: 7, expected: 'gauge or absolute' });
    expect(refused('98 kPa absolute ± 5 kPa absolute', 'pressure')).toMatchObject({ offset: 24, found: 'absolute' });
    expect(refused('1 m gauge', 'length')).toMatchObject({ offset: 4, found: 'gauge' });
  });

  it('reads a unit alone', () => {
    const unit = (text: string, dimension: Dimension) => {
      const read = parseUnit(text, dimension);
      return read.ok ? [read.unit.symbol, read.reference] : read.problem;
    };
    expect(unit('bar gauge', 'pressure')).toEqual(['bar', 'gauge']);
    expect(unit(' degC ', 'temperature')).toEqual(['°C', undefined]);
    expect(unit('%', 'ratio')).toEqual(['%', undefined]);
    expect(unit('kΩ', 'resistance')).toEqual(['kohm', undefined]);
    expect(unit('bar', 'pressure')).toMatchObject({ offset: 3, expected: 'gauge or absolute' });
    expect(unit('°C gauge', 'temperature')).toMatchObject({ offset: 3, found: 'gauge' });
    expect(unit('K', 'speed')).toMatchObject({ offset: 0, message: expect.stringContaining('a speed is wanted here') });
    expect(unit('m/s ± 1', 'speed')).toMatchObject({ offset: 4, found: '±' });
    expect(unit('', 'speed')).toMatchObject({ offset: 0, message: expect.stringContaining('the unit is missing') });
    expect(unit('V'.repeat(200), 'voltage')).toMatchObject({ message: expect.stringContaining('at most 120') });
  });

  it('reads an uncertainty alone', () => {
    expect(spread('± 0.25 % of span', 'pressure', 6e6)).toBe(7500);
    expect(spread('± 0.25 % of span', 'pressure', -6e6)).toBe(7500);
    expect(spread('± 1 % of span', 'temperature', 100)).toBe(0.5);
    expect(spread('± 0.4 K', 'temperature')).toBe(0.2);
    expect(spread('± 4 %', 'ratio')).toBe(0.02);
    expect(spread('± 120 Pa std', 'pressure')).toBe(120);
    expect(parseUncertainty('120 Pa', 'pressure')).toMatchObject({ ok: false, problem: { offset: 0, expected: '±' } });
    expect(parseUncertainty('± 1 %', 'pressure', { spanSi: 5 })).toMatchObject({ ok: false, problem: { offset: 2, found: '1' } });
    expect(parseUncertainty('± 1 % of value', 'pressure', { spanSi: 5 })).toMatchObject({ ok: false });
  });

  it('holds the caller to ± or to none', () => {
    expect(refused('11 m', 'length', { uncertainty: 'required' })).toMatchObject({ offset: 4, expected: '±' });
    expect(refused('11 m ± 1 mm', 'length', { uncertainty: 'forbidden' })).toMatchObject({ offset: 5, found: '±' });
  });

  it.each<[string, Dimension, number, string, RegExp]>([
    ['', 'length', 0, '', /an empty text/],
    ['long', 'length', 0, 'long', /does not begin with a number/],
    ['1.5', 'length', 3, '', /the unit is missing; a length/],
    ['1,5 m', 'length', 1, ',5', /after a point/],
    ['59.8 kg', 'length', 5, 'kg', /"kg" is a unit of mass; a length is wanted here, in m, /],
    ['59.8 furlong', 'length', 5, 'furlong', /not a unit known here; a length/],
    ['3 mpa gauge', 'pressure', 2, 'mpa', /write MPa$/],
    ['3 psig', 'pressure', 2, 'psig', /write psi gauge$/],
    ['20 C', 'temperature', 3, 'C', /write °C or degC$/],
    ['20 constructor', 'temperature', 3, 'constructor', /not a unit/],
    ['1e999 m', 'length', 0, '1e999', /too large/],
    ['1e306 km', 'length', 0, '1e306', /too large/],
    ['1 m ± 1e306 km', 'length', 6, '1e306', /too large/],
    ['1 m ± mm', 'length', 6, 'mm', /a number is missing/],
    ['1 m ± -1 mm', 'length', 6, '-1', /cannot be negative/],
    ['1 m ± 1', 'length', 7, '', /the unit is missing/],
    ['1 m ± 1 s', 'length', 8, 's', /a unit of time/],
    ['20 °C ± 2 %', 'temperature', 8, '2', /percentage of a temperature/],
    ['0 us ± 5 %', 'time', 7, '5', /of zero is zero/],
    ['1 m ± 1 mm of span', 'length', 11, 'of', /goes with % or ppm only/],
    ['1 m ± 1 % of span', 'length', 10, 'of', /there is no span/],
    ['1 m ± 1 % of it', 'length', 13, 'it', /"span" or "value"/],
    ['1 m ± 1 mm k', 'length', 12, '', /coverage factor is missing/],
    ['1 m ± 1 mm k=0', 'length', 13, '0', /between 1 and 10/],
    ['1 m ± 1 mm k=2 rect', 'length', 15, 'rect', /not understood/],
    ['1 m 20 cm', 'length', 4, '20', /not understood/],
    ['24 °C ± 0.4 °C ± 1 K', 'temperature', 15, '±', /not understood/],
  ])('refuses "%s"', (text, dimension, offset, found, message) => {
    const problem = refused(text, dimension);
    expect(problem).toMatchObject({ offset, found });
    expect(problem.message).toMatch(message);
    expect(problem.expected).not.toBe('');
  });

  it('refuses a text that is too long without reading it', () => {
    expect(refused(`1 m ${' '.repeat(200)}`, 'length').message).toMatch(/204 characters; at most 120/);
  });
});
