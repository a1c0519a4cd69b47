import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fitLeastSquares, weightedLinearFit } from '../../host/metrology/index.ts';
import { expectClose, known } from '../support/known.ts';

const line = (x: readonly number[]) => x.map((each) => [1, each]);

test('two observations of one quantity: the weighted mean and its uncertainty', () => {
  const fit = known(weightedLinearFit({ design: [[1], [1]], observed: [10, 13], standardUncertainties: [1, 2] }));
  // Weights 1 and 1/4: (10 + 13/4)/(5/4) = 10.6, u = 1/√(5/4).
  expect(fit.values[0]).toBeCloseTo(10.6, 12);
  expect(fit.standardUncertainties[0]).toBeCloseTo(Math.sqrt(0.8), 12);
  // (0.6/1)² + (2.4/2)² over one degree of freedom.
  expect(fit.residualStandardDeviation).toBeCloseTo(Math.sqrt(1.8), 12);
  expectClose(fit.residuals, [-0.6, 2.4], 1e-12);
});

test('the stated uncertainties, not the scatter, set the uncertainty of the parameters', () => {
  const observed = [1, 2, 3, 4];
  const fit = known(weightedLinearFit({ design: line(observed), observed, standardUncertainties: observed.map(() => 0.1) }));
  expect(fit.residualStandardDeviation).toBeLessThan(1e-12);
  expect(fit.standardUncertainties[1]).toBeCloseTo(0.1 / Math.sqrt(5), 12);
});

test('the non-linear search finds the same line, whatever the weights', () => {
  const points = fc.array(
    fc.record({
      x: fc.double({ min: -100, max: 100, noNaN: true }),
      y: fc.double({ min: -1e3, max: 1e3, noNaN: true }),
      u: fc.double({ min: 0.1, max: 10, noNaN: true }),
    }),
    { minLength: 4, maxLength: 12 },
  );
  fc.assert(
    fc.property(points, (table) => {
      const x = table.map((p) => p.x);
      fc.pre(Math.max(...x) - Math.min(...x) > 10);
      const observed = table.map((p) => p.y);
      const uncertainties = table.map((p) => p.u);
      const linear = known(weightedLinearFit({ design: line(x), observed, standardUncertainties: uncertainties }));
      const searched = known(
        fitLeastSquares({
          predict: ([a, b]) => x.map((each) => known(a) + known(b) * each),
          observed,
          weightUncertainty: uncertainties,
          parameters: ['a', 'b'].map((name) => ({
            name,
            unit: '1',
            start: 1,
            prior: { value: 0, standardUncertainty: Number.POSITIVE_INFINITY },
          })),
          influences: () => [],
        }),
      );
      for (const [j, value] of searched.values.entries()) {
        expect(Math.abs(value - known(linear.values[j])) / known(linear.standardUncertainties[j])).toBeLessThan(1e-4);
        // A parameter near 0 is stepped by 6e-8, where predictions near 1000 round to some 1e-6 of their slope.
        expect(Math.sqrt(known(searched.covariance[j]?.[j])) / known(linear.standardUncertainties[j])).toBeCloseTo(1, 4);
      }
    }),
  );
});

test('columns of very different size are no trouble', () => {
  const x = [0, 1, 2, 3, 4];
  const design = x.map((each) => [1e12, 1e-12 * each]);
  const fit = known(weightedLinearFit({ design, observed: x.map((each) => 5 + 3 * each) }));
  expectClose(fit.values, [5e-12, 3e12], 1e-12);
});

test('no fit: columns that are one, too few observations, no observation left to tell the scatter', () => {
  const twice = [1, 2, 3].map((x) => [x, 2 * x]);
  expect(weightedLinearFit({ design: twice, observed: [1, 2, 3] })).toBeUndefined();
  expect(weightedLinearFit({ design: [[1, 2]], observed: [1] })).toBeUndefined();
  expect(weightedLinearFit({ design: [], observed: [] })).toBeUndefined();
  expect(weightedLinearFit({ design: line([1, 2]), observed: [1, 2] })).toBeUndefined();
  expect(weightedLinearFit({ design: line([1, 2]), observed: [1, 2], standardUncertainties: [1, 1] })?.degreesOfFreedom).toBe(0);
});

test('refused: lengths that do not match, an uncertainty of 0', () => {
  const design = line([1, 2, 3]);
  expect(() => weightedLinearFit({ design, observed: [1, 2] })).toThrow(RangeError);
  expect(() => weightedLinearFit({ design: [[1, 2], [1]], observed: [1, 2] })).toThrow(RangeError);
  expect(() => weightedLinearFit({ design, observed: [1, 2, 3], standardUncertainties: [1, 1] })).toThrow(RangeError);
  expect(() => weightedLinearFit({ design, observed: [1, 2, 3], standardUncertainties: [1, 0, 1] })).toThrow(RangeError);
});
