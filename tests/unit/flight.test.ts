import fc from 'fast-check';
import { expect, test } from 'vitest';
import { fly, type Passage } from '../../host/physics/index.ts';

// Closed form of constant drag: v = v₀e^(−kx), t = (e^(kx) − 1)/(k v₀); ρ 1.199313895 kg/m³, d 10 mm, m 4 g, CD 0.47:
// k = 0.005533891217 1/m; from 300 m/s at 5 m: 291.8129511 m/s after 0.01689938692 s (computed from the drag law).
test('constant drag follows the closed form', () => {
  const retardationPerM = (1.199313895 * Math.PI * 0.01 ** 2) / (8 * 0.004);
  const [at] = fly(300, [5], { retardationPerM, coefficientAt: () => 0.47 });
  expect(at?.velocityMps).toBeCloseTo(291.8129511, 6);
  expect(at?.timeS).toBeCloseTo(0.01689938692, 10);
});

test('passing a place on the way changes nothing behind it', () => {
  const drag = { retardationPerM: 0.0135, coefficientAt: (v: number) => 0.5 + 0.4 * Math.tanh((v - 340) / 40) };
  const all = fly(420, [1.5, 2.5, 9, 10, 11], drag);
  const last = fly(420, [11], drag)[0];
  expect(all[4]?.velocityMps).toBeCloseTo(last?.velocityMps ?? 0, 7);
  expect(all[4]?.timeS).toBeCloseTo(last?.timeS ?? 0, 10);
});

test('a ball in a tailwind of its own speed is not slowed', () => {
  const [at] = fly(30, [11], { retardationPerM: 0.0135, coefficientAt: () => 0.5, tailwindMps: 30 });
  expect(at?.velocityMps).toBe(30);
});

// Closed forms, derived from dv/dt = −k·C(a)·a², a = v − w. Speeds, densities and ranges of the whole trade.
const launches = fc.record({
  v: fc.double({ min: 60, max: 900, noNaN: true }),
  k: fc.double({ min: 1e-4, max: 0.02, noNaN: true }),
  x: fc.double({ min: 0.1, max: 40, noNaN: true }),
  w: fc.double({ min: -15, max: 15, noNaN: true }),
});
const WITHIN = 1e-9;

test('with wind and constant drag: x = wt + ln(1 + kCa₀t)/kC', () => {
  fc.assert(
    fc.property(launches, ({ v, k, x, w }) => {
      const kC = 0.9 * k;
      const [at] = fly(v, [x], { retardationPerM: k, coefficientAt: () => 0.9, tailwindMps: w });
      const { timeS, velocityMps } = at as Passage;
      const grown = 1 + kC * (v - w) * timeS;
      expect(Math.abs((w * timeS + Math.log(grown) / kC) / x - 1)).toBeLessThan(WITHIN);
      expect(Math.abs((w + (v - w) / grown) / velocityMps - 1)).toBeLessThan(WITHIN);
    }),
  );
});

test('drag coefficient falling as 1/v: v = v₀ − cx, t = ln(v₀/v)/c', () => {
  fc.assert(
    fc.property(launches, ({ v, k, x }) => {
      const c = 200 * k;
      fc.pre(c * x < 0.9 * v);
      const [at] = fly(v, [x], { retardationPerM: k, coefficientAt: (a) => 200 / a });
      const left = v - c * x;
      expect(Math.abs((at as Passage).velocityMps / left - 1)).toBeLessThan(WITHIN);
      expect(Math.abs(((at as Passage).timeS * c) / Math.log(v / left) - 1)).toBeLessThan(WITHIN);
    }),
  );
});

test('constant force: v² = v₀² − 2fx, t = (v₀ − v)/f; a ball that stops before the gate never passes it', () => {
  fc.assert(
    fc.property(launches, ({ v, k, x }) => {
      const f = 2e5 * k;
      const squared = v * v - 2 * f * x;
      const [at] = fly(v, [x], { retardationPerM: k, coefficientAt: (a) => 2e5 / a ** 2 });
      if (squared < 0) expect(at).toEqual({ timeS: Number.POSITIVE_INFINITY, velocityMps: 0 });
      // Next to a standstill the speed hangs on the last digit of everything.
      fc.pre(squared > 0.01 * v * v);
      const left = Math.sqrt(squared);
      expect(Math.abs((at as Passage).velocityMps / left - 1)).toBeLessThan(WITHIN);
      expect(Math.abs(((at as Passage).timeS * f) / (v - left) - 1)).toBeLessThan(WITHIN);
    }),
  );
});
