import { expect, test } from 'vitest';
import { fly } from '../../host/physics/index.ts';

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
