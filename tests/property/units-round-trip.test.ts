import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  DISPLAY,
  type DisplaySystem,
  findUnit,
  formatParts,
  formatWithUncertainty,
  fromSi,
  parseQuantity,
  parseUncertainty,
  type QuantityKind,
  quantityText,
  toSi,
  UNITS,
} from '../../host/units/index.ts';

const unit = fc.constantFrom(...UNITS);
const number = fc.double({ min: -1e12, max: 1e12, noNaN: true }).filter((value) => value === 0 || Math.abs(value) > 1e-12);

/** A few roundings, plus those beside a scale's zero point. */
function closeEnough(actual: number, expected: number, zeroSi: number): boolean {
  return Math.abs(actual - expected) <= 8 * Number.EPSILON * (Math.abs(expected) + zeroSi);
}

describe('units, for any value', () => {
  it('toSi undoes fromSi', () => {
    fc.assert(
      fc.property(unit, number, (of, si) => {
        expect(closeEnough(toSi(fromSi(si, of), of), si, toSi(0, of))).toBe(true);
      }),
    );
  });

  it('parseQuantity reads what quantityText writes', () => {
    fc.assert(
      fc.property(
        unit,
        number,
        fc.double({ min: 1e-12, max: 1e12, noNaN: true }),
        fc.constantFrom('gauge', 'absolute'),
        (of, si, u, word) => {
          const difference = of.dimension === 'temperature' ? 'temperatureDifference' : of.dimension;
          const siUnit = UNITS.find((other) => other.dimension === difference && toSi(1, other) === 1 && toSi(0, other) === 0);
          // A ratio has no unit of its own that is 1; its uncertainty is left out here.
          const options = {
            ...(siUnit === undefined ? {} : { standardUncertaintySi: u }),
            ...(of.dimension === 'pressure' ? { reference: word as 'gauge' | 'absolute' } : {}),
            siSymbol: siUnit?.symbol ?? '',
          };
          const read = parseQuantity(quantityText(si, of, options), of.dimension);
          if (!read.ok) throw new Error(read.problem.message);
          expect(closeEnough(read.valueSi, si, toSi(0, of))).toBe(true);
          expect(read.standardUncertaintySi).toBe(siUnit === undefined ? 0 : u);
          expect(read.reference).toBe(options.reference);
        },
      ),
    );
  });

  it('what a page shows reads back to within half of its last place', () => {
    const kinds = (Object.keys(DISPLAY) as QuantityKind[]).filter((kind) => kind !== 'number');
    const system = fc.constantFrom<DisplaySystem>('SI', 'US');
    fc.assert(
      fc.property(fc.constantFrom(...kinds), system, fc.double({ min: 0.01, max: 1e7, noNaN: true }), (kind, shownIn, si) => {
        const { value, symbol } = formatParts(si, undefined, kind, shownIn);
        const display = DISPLAY[kind][shownIn];
        const dimension = UNITS.find((of) => of.symbol === symbol && of.dimension !== 'temperatureDifference')?.dimension ?? 'length';
        const of = findUnit(symbol, dimension);
        if (of === undefined) throw new Error(`no unit ${symbol}`);
        const read = parseQuantity(`${value} ${symbol}`, dimension, { reference: 'forbidden' });
        if (!read.ok) throw new Error(read.problem.message);
        const off = Math.abs(display.fromSi(read.valueSi) - display.fromSi(si));
        expect(off).toBeLessThanOrEqual(0.5 * 10 ** -display.decimals + 1e-9 * Math.abs(display.fromSi(si)));
      }),
    );
  });

  it('a shown uncertainty has two significant digits, and the value as many decimals', () => {
    fc.assert(
      fc.property(fc.double({ min: -2000, max: 2000, noNaN: true }), fc.double({ min: 1e-6, max: 500, noNaN: true }), (si, u) => {
        const match = /^(−?[\d.]+) m\/s ± ([\d.]+)$/.exec(formatWithUncertainty(si, u, 'velocity', 'SI'));
        if (match === null) throw new Error('not of that form');
        const [, value = '', uncertainty = ''] = match;
        expect(value.split('.')[1]?.length).toBe(uncertainty.split('.')[1]?.length);
        expect(Number(uncertainty)).toBe(Number(u.toPrecision(2)));
        if (u < 9.9) expect(uncertainty.replace(/^0\.0*|\./g, '')).toHaveLength(2);
      }),
    );
  });

  it('no text makes the readers throw, and a refusal points into the text', () => {
    const pieces = fc.constantFrom(
      '1',
      '-',
      '.',
      'm',
      ' ',
      '±',
      '+',
      '/',
      '%',
      'of',
      'span',
      'k',
      '=',
      'rect',
      'gauge',
      'MPa',
      '°C',
      '😀',
      ',',
    );
    const text = fc.oneof(
      fc.string({ maxLength: 40, unit: 'binary' }),
      fc.array(pieces, { maxLength: 14 }).map((all) => all.join('')),
    );
    const dimension = fc.constantFrom(...new Set(UNITS.map((of) => of.dimension)));
    fc.assert(
      fc.property(text, dimension, (anything, wanted) => {
        for (const read of [parseQuantity(anything, wanted), parseUncertainty(anything, wanted, { spanSi: 2 })]) {
          if (read.ok) {
            expect(read.standardUncertaintySi).toBeGreaterThanOrEqual(0);
            continue;
          }
          expect(read.problem.offset).toBeGreaterThanOrEqual(0);
          expect(read.problem.offset).toBeLessThanOrEqual(anything.length);
          expect(read.problem.message).not.toBe('');
        }
      }),
      { numRuns: 500 },
    );
  });
});
