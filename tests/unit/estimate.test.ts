import { expect, test } from 'vitest';
import { combine, derive, exact, input, standardUncertainty } from '../../host/metrology/index.ts';

// JCGM 100:2008, 5.2.2 example (from memory; arithmetic verified): ten 1000 Ω resistors, each calibrated against the
// same standard with u = 100 mΩ. Fully correlated: 1 Ω, not the 0.32 Ω of independent ones.
test('a shared input stays correlated through a sum', () => {
  const standard = input('standard', 'Ω', { value: 1000, standardUncertainty: 0.1 });
  const sum = combine(
    10_000,
    Array.from({ length: 10 }, () => ({ of: standard, partial: 1 })),
  );
  expect(standardUncertainty(sum)).toBeCloseTo(1, 12);
  const alone = Array.from({ length: 10 }, (_, i) => ({
    of: input(`resistor ${i}`, 'Ω', { value: 1000, standardUncertainty: 0.1 }),
    partial: 1,
  }));
  expect(standardUncertainty(combine(10_000, alone))).toBeCloseTo(0.316228, 6);
});

test('a quantity divided by itself is exact', () => {
  const x = input('x', 'm', { value: 7, standardUncertainty: 0.5 });
  const ratio = derive((a, b) => a / b, x, x);
  expect(ratio.value).toBe(1);
  expect(standardUncertainty(ratio)).toBeLessThan(1e-3);
});

// CHECKS of gate velocity: L 0.5000 m with u 0.1 mm over 1.666667 ms with u 0.2 µs gives 300 m/s with u 0.0699714 m/s
// (v = L/t; JCGM 100:2008, 5.1.6).
test('relative uncertainties of a quotient add in quadrature', () => {
  const length = input('L', 'm', { value: 0.5, standardUncertainty: 1e-4 });
  const time = input('t', 's', { value: 1.666667e-3, standardUncertainty: 2e-7 });
  const speed = derive((l, t) => l / t, length, time);
  expect(speed.value).toBeCloseTo(300, 3);
  expect(standardUncertainty(speed) / 0.0699714).toBeCloseTo(1, 4);
});

test('an exact input adds no term, an impossible one is refused', () => {
  expect(derive((a, b) => a + b, exact(1), exact(2)).terms).toEqual([]);
  expect(() => input('x', 'm', { value: 1, standardUncertainty: -1 })).toThrow(RangeError);
});
