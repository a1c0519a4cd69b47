/**
 * Decision rules against the worked examples of JCGM 106:2012 (values from memory, checked by the normal distribution's
 * own table: Φ(1.4) = 0.9192, Φ(1.5) = 0.9332, Φ(−0.61) = 0.2709).
 */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { conformanceProbability, conformity } from '../../host/metrology/index.ts';

test('7.3, one-sided: breakdown voltage −5.47 V, u 0.02 V, at most −5.40 V: 99.98 %', () => {
  // Φ((−5.40 + 5.47)/0.02) = Φ(3.5) = 0.99977
  expect(conformanceProbability({ value: -5.47, standardUncertainty: 0.02 }, { to: -5.4 })).toBeCloseTo(0.999767, 6);
  expect(conformanceProbability({ value: -5.47, standardUncertainty: 0.05 }, { to: -5.4 })).toBeCloseTo(0.919243, 6);
});

test('7.4, two-sided: viscosity 13.6 mm²/s, u 1.8, allowed 12.5 to 16.3: 66 %', () => {
  // Φ(1.5) − Φ(−0.6111) = 0.933193 − 0.270565
  expect(conformanceProbability({ value: 13.6, standardUncertainty: 1.8 }, { from: 12.5, to: 16.3 })).toBeCloseTo(0.66263, 4);
});

test('at the end of a wide band the plain rule is a coin’s throw, and a guard of U = 1.96 u leaves 2.5 %', () => {
  expect(conformanceProbability({ value: 350, standardUncertainty: 0.5 }, { from: 300, to: 350 })).toBeCloseTo(0.5, 9);
  expect(conformanceProbability({ value: 350 - 1.96 * 0.5, standardUncertainty: 0.5 }, { from: 300, to: 350 })).toBeCloseTo(0.975, 4);
});

/** EN 166: a ball of 6 mm and 0.86 g at 45 m/s has 0.87075 J; C.I.P. and most test standards judge by the plain rule. */
test('plain: on the end is within, beyond it is out', () => {
  expect(conformity(0.87075, { from: 0.87075 }, 0)).toBe('accepted');
  expect(conformity(0.8707, { from: 0.87075 }, 0)).toBe('rejected');
});

test('guarded: what is accepted lies within by the guard, what is rejected outside by it, and the rest is undecided', () => {
  const value = fc.double({ min: -1e3, max: 1e3, noNaN: true });
  fc.assert(
    fc.property(value, fc.tuple(value, value), fc.double({ min: 1e-3, max: 100, noNaN: true }), (y, [a, b], u) => {
      const band = { from: Math.min(a, b), to: Math.max(a, b) };
      const verdict = conformity(y, band, 1.96 * u);
      const probability = conformanceProbability({ value: y, standardUncertainty: u }, band);
      if (verdict === 'accepted') expect(probability).toBeGreaterThan(0.949);
      if (verdict === 'rejected') expect(probability).toBeLessThan(0.0251);
      const plain = conformity(y, band, 0);
      expect(plain).not.toBe('undecided');
      if (verdict !== 'undecided') expect(plain).toBe(verdict);
    }),
    { seed: 20_261_128 },
  );
});
