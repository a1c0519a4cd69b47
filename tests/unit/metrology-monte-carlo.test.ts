import { expect, test } from 'vitest';
import { type Distribution, monteCarlo } from '../../host/metrology/index.ts';

const normal: Distribution = { kind: 'normal', value: 0, standardUncertainty: 1 };
const difference = (a: number, b: number) => a - b;

test('the same seed gives the same result to the last digit, another seed another', () => {
  const run = (seed: number) => monteCarlo(difference, [normal, normal], { trials: 1000, seed });
  expect(run(5)).toEqual(run(5));
  expect(run(6).mean).not.toBe(run(5).mean);
});

test('inputs are drawn independently of each other, and so are seeds that differ by one', () => {
  const pairs = (seed: number) => {
    const drawn: number[] = [];
    monteCarlo(
      (a, b) => {
        drawn.push(a * b);
        return a;
      },
      [normal, normal],
      { trials: 40_000, seed },
    );
    return drawn;
  };
  const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length;
  // Standard error 1/√40000 = 0.005.
  expect(Math.abs(mean(pairs(1)))).toBeLessThan(0.02);
  const [one, two] = [pairs(1), pairs(2)];
  expect(Math.abs(mean(one.map((x, k) => x * (two[k] ?? 0))))).toBeLessThan(0.02);
});

test('of a one-sided result the shortest interval starts at its end', () => {
  // Exponential, mean 1: the shortest 95 % reach from 0 to −ln 0.05 = 2.9957, the symmetric from 0.0253 to 3.6889.
  const found = monteCarlo((x) => -Math.log(x), [{ kind: 'rectangular', value: 0.5, halfWidth: 0.5 }], { trials: 200_000, seed: 11 });
  expect(found.shortest[0]).toBeLessThan(0.005);
  expect(Math.abs(found.shortest[1] - 2.9957)).toBeLessThan(0.05);
  expect(Math.abs(found.symmetric[0] - 0.0253)).toBeLessThan(0.002);
  expect(Math.abs(found.symmetric[1] - 3.6889)).toBeLessThan(0.06);
});

test('another probability makes another interval', () => {
  const { symmetric } = monteCarlo((x) => x, [normal], { trials: 200_000, seed: 1, probability: 0.6827 });
  expect(Math.abs(symmetric[1] - 1)).toBeLessThan(0.02);
});

test('a small spread about a large value keeps its digits', () => {
  const { standardUncertainty } = monteCarlo((x) => x, [{ kind: 'normal', value: 1e9, standardUncertainty: 1e-3 }], {
    trials: 100_000,
    seed: 2,
  });
  expect(Math.abs(standardUncertainty / 1e-3 - 1)).toBeLessThan(0.01);
});

test('refused: too few or too many trials, a probability of 1, a model without a number', () => {
  const run = (options: { trials: number; probability?: number }, of = (x: number) => x) =>
    monteCarlo(of, [normal], { seed: 1, ...options });
  expect(() => run({ trials: 99 })).toThrow(RangeError);
  expect(() => run({ trials: 10_000_001 })).toThrow(RangeError);
  expect(() => run({ trials: 100.5 })).toThrow(RangeError);
  expect(() => run({ trials: 100, probability: 1 })).toThrow(RangeError);
  expect(() => run({ trials: 100 }, Math.log)).toThrow('the model gives NaN');
});
