import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  combine,
  correlatedInputs,
  correlation,
  covariance,
  effectiveDegreesOfFreedom,
  input,
  observedTogether,
  standardUncertainty,
} from '../../host/metrology/index.ts';
import { known } from '../support/known.ts';

const inputsOf = (u: readonly number[]) => u.map((standardUncertainty, k) => ({ name: `x${k}`, unit: '1', value: k, standardUncertainty }));

/** Any matrix of columns makes a correlation matrix: that of the sums its columns describe. */
const mixtures = fc.integer({ min: 1, max: 5 }).chain((size) =>
  fc.record({
    mixing: fc.array(fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: size, maxLength: size }), {
      minLength: size,
      maxLength: size,
    }),
    u: fc.array(fc.double({ min: 1e-6, max: 1e3, noNaN: true }), { minLength: size, maxLength: size }),
  }),
);

function correlationMatrix(mixing: readonly (readonly number[])[]): readonly (readonly number[])[] {
  const lengths = mixing.map((row) => Math.hypot(...row));
  return mixing.map((a, i) =>
    mixing.map((b, j) => {
      const r = a.reduce((sum, x, k) => sum + x * known(b[k]), 0) / (known(lengths[i]) * known(lengths[j]));
      return i === j ? 1 : Math.max(-1, Math.min(1, r));
    }),
  );
}

test('uncertainties and correlations come out as they were put in', () => {
  fc.assert(
    fc.property(mixtures, ({ mixing, u }) => {
      fc.pre(mixing.every((row) => Math.hypot(...row) > 0.1));
      const matrix = correlationMatrix(mixing);
      const estimates = correlatedInputs(inputsOf(u), matrix);
      for (const [i, a] of estimates.entries()) {
        expect(standardUncertainty(a) / known(u[i])).toBeCloseTo(1, 8);
        for (const [j, b] of estimates.entries()) expect(correlation(a, b)).toBeCloseTo(known(matrix[i]?.[j]), 8);
      }
    }),
  );
});

// JCGM 100:2008, 5.2.2, example (from memory; arithmetic verified): ten resistors with r = 1 add up to 1 Ω, not 0.32 Ω.
test('fully correlated inputs have one term between them', () => {
  const names = Array.from({ length: 10 }, (_, k) => ({ name: `R${k}`, unit: 'Ω', value: 1000, standardUncertainty: 0.1 }));
  const resistors = correlatedInputs(
    names,
    names.map(() => names.map(() => 1)),
  );
  const sum = combine(
    10_000,
    resistors.map((of) => ({ of, partial: 1 })),
  );
  expect(standardUncertainty(sum)).toBeCloseTo(1, 12);
  expect(sum.terms.map((term) => term.input)).toEqual(['R0']);
});

test('opposite inputs cancel', () => {
  const [a, b] = correlatedInputs(inputsOf([2, 2]), [
    [1, -1],
    [-1, 1],
  ]);
  const sum = combine(0, [
    { of: known(a), partial: 1 },
    { of: known(b), partial: 1 },
  ]);
  expect(standardUncertainty(sum)).toBe(0);
});

describe('refused', () => {
  const matrixOf = (r: number, s = r) => [
    [1, r],
    [s, 1],
  ];
  test.each([
    ['beyond 1', matrixOf(1.1)],
    ['not symmetric', matrixOf(0.5, 0.4)],
    ['not 1 on the diagonal', [[1, 0] as const, [0, 0.9] as const]],
    ['too small', [[1, 0]]],
    ['not a number', matrixOf(Number.NaN)],
  ])('%s', (_, matrix) => {
    expect(() => correlatedInputs(inputsOf([1, 1]), matrix)).toThrow(RangeError);
  });

  test('correlations that no three quantities can have', () => {
    const r = -0.9;
    expect(() =>
      correlatedInputs(inputsOf([1, 1, 1]), [
        [1, r, r],
        [r, 1, r],
        [r, r, 1],
      ]),
    ).toThrow('not positive semi-definite');
    expect(() =>
      correlatedInputs(inputsOf([1, 1, 1]), [
        [1, 1, 0],
        [1, 1, 0.5],
        [0, 0.5, 1],
      ]),
    ).toThrow('not positive semi-definite');
  });

  test('a correlation with an exact input', () => {
    expect(() => correlatedInputs(inputsOf([1, 0]), matrixOf(0.5))).toThrow('exact');
    expect(correlatedInputs(inputsOf([1, 0]), matrixOf(0))[1]?.terms).toEqual([]);
  });

  test('degrees of freedom of 0', () => {
    expect(() => correlatedInputs(inputsOf([1, 1]), matrixOf(0), 0)).toThrow(RangeError);
    expect(() => input('x', 'm', { value: 1, standardUncertainty: 1, degreesOfFreedom: -1 })).toThrow(RangeError);
  });

  test('observations of different lengths, or a single one', () => {
    const series = (...observations: number[]) => ({ name: 'x', unit: 'm', observations });
    expect(() => observedTogether([series(1, 2, 3), series(1, 2)])).toThrow(RangeError);
    expect(() => observedTogether([series(1)])).toThrow(RangeError);
  });
});

test('any linear model of quantities observed together has their degrees of freedom and the scatter of its own values', () => {
  fc.assert(
    fc.property(
      fc.array(fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: 6, maxLength: 6 }), { minLength: 1, maxLength: 4 }),
      fc.array(fc.integer({ min: -9, max: 9 }), { minLength: 4, maxLength: 4 }),
      (table, weights) => {
        const estimates = observedTogether(table.map((observations, k) => ({ name: `x${k}`, unit: '1', observations })));
        const sum = combine(
          0,
          estimates.map((of, k) => ({ of, partial: known(weights[k]) })),
        );
        const each = table[0]?.map((_, n) => table.reduce((total, row, k) => total + known(weights[k]) * known(row[n]), 0)) ?? [];
        const [direct] = observedTogether([{ name: 'sum', unit: '1', observations: each }]);
        const scale = Math.max(...table.map((_, k) => Math.abs(known(weights[k])) * standardUncertainty(known(estimates[k]))), 1);
        // Where everything cancels, rounding of 1e-10 in a square shows as 1e-5.
        expect(Math.abs(standardUncertainty(sum) - standardUncertainty(known(direct))) / scale).toBeLessThan(3e-5);
        if (standardUncertainty(sum) > 1e-3 * scale) expect(effectiveDegreesOfFreedom(sum)).toBeCloseTo(5, 6);
      },
    ),
  );
});

test('estimates that share no input have no covariance', () => {
  const [a, b] = [input('a', 'm', { value: 1, standardUncertainty: 2 }), input('b', 's', { value: 1, standardUncertainty: 3 })];
  expect(covariance(a, b)).toBe(0);
  expect(covariance(a, a)).toBe(4);
});
