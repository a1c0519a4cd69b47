import { expect, test } from 'vitest';
import { randomStream } from '../../firmware-sim/world/random.ts';

test('streams of the same seed and name repeat, of another seed or name differ', () => {
  const draw = (seed: number, name: string): number[] => {
    const random = randomStream(seed, name);
    return Array.from({ length: 20 }, () => random.uniform());
  };
  expect(draw(5, 'a')).toEqual(draw(5, 'a'));
  for (const other of [draw(6, 'a'), draw(5, 'b'), draw(5 + 2 ** 40, 'a')]) {
    expect(other.some((value) => draw(5, 'a').includes(value))).toBe(false);
  }
});

test('uniform and normal have the moments they should', () => {
  const random = randomStream(1, 'moments');
  const n = 40_000;
  const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / n;
  const uniform = Array.from({ length: n }, () => random.uniform());
  const normal = Array.from({ length: n }, () => random.normal());
  // Five standard errors each: 1/√12/√n, 1/√n, √2/√n, √24/√n.
  expect(Math.abs(mean(uniform) - 0.5)).toBeLessThan((5 * 0.2887) / Math.sqrt(n));
  expect(Math.min(...uniform)).toBeGreaterThanOrEqual(0);
  expect(Math.max(...uniform)).toBeLessThan(1);
  expect(Math.abs(mean(normal))).toBeLessThan(5 / Math.sqrt(n));
  expect(Math.abs(mean(normal.map((v) => v * v)) - 1)).toBeLessThan((5 * Math.SQRT2) / Math.sqrt(n));
  expect(Math.abs(mean(normal.map((v) => v ** 4)) - 3)).toBeLessThan((5 * Math.sqrt(96)) / Math.sqrt(n));
});
