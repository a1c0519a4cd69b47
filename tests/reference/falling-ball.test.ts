/** The fall of a ball against closed forms, and gravity against published values. */
import { expect, test } from 'vitest';
import { type FallingBall, fallen, localGravityMps2 } from '../../host/physics/index.ts';

const POLYAMIDE: FallingBall = { gravityMps2: 9.81, massKg: 0.126, diameterM: 0.0598, densityKgM3: 1.2, dragCoefficient: 0.45 };

test('without air it is v² = 2gh and h = gt²/2', () => {
  for (const heightM of [0.001, 0.4, 1, 50]) {
    const { timeS, speedMps } = fallen(heightM, { ...POLYAMIDE, densityKgM3: 0 });
    expect(speedMps ** 2 / (2 * 9.81 * heightM)).toBeCloseTo(1, 12);
    expect((9.81 * timeS ** 2) / (2 * heightM)).toBeCloseTo(1, 12);
  }
});

test('from far enough up it falls at the speed at which weight, buoyancy and drag balance', () => {
  const displacedKg = (1.2 * Math.PI * 0.0598 ** 3) / 6;
  const area = (Math.PI * 0.0598 ** 2) / 4;
  const balancedMps = Math.sqrt(((0.126 - displacedKg) * 9.81) / (0.5 * 1.2 * area * 0.45));
  expect(fallen(1e4, POLYAMIDE).speedMps).toBeCloseTo(balancedMps, 9);
});

test('with very little drag it goes over into the fall without any', () => {
  const free = fallen(1, { ...POLYAMIDE, dragCoefficient: 0 });
  const slowed = fallen(1, { ...POLYAMIDE, dragCoefficient: 1e-9 });
  expect(slowed.timeS / free.timeS).toBeCloseTo(1, 9);
  expect(slowed.speedMps / free.speedMps).toBeCloseTo(1, 9);
});

test('it satisfies its equation of motion: dv/dt by differences is what the forces give', () => {
  const stepM = 1e-5;
  for (const heightM of [0.1, 0.5, 1.5, 10]) {
    const [before, at, after] = [heightM - stepM, heightM, heightM + stepM].map((x) => fallen(x, POLYAMIDE));
    if (!before || !at || !after) throw new Error('three of them');
    const found = (after.speedMps - before.speedMps) / (after.timeS - before.timeS);
    const displacedKg = (1.2 * Math.PI * 0.0598 ** 3) / 6;
    const dragN = (0.5 * 1.2 * 0.45 * (Math.PI * 0.0598 ** 2) * at.speedMps ** 2) / 4;
    expect(found).toBeCloseTo(((0.126 - displacedKg) * 9.81 - dragN) / (0.126 + displacedKg / 2), 5);
  }
});

// Normal gravity of WGS 84 at equator and pole: NIMA TR8350.2, 3rd ed., table 3.4 (from memory).
test('gravity is that of WGS 84 at equator and pole', () => {
  expect(localGravityMps2(0, 0)).toBeCloseTo(9.7803253359, 10);
  expect(localGravityMps2(90, 0)).toBeCloseTo(9.8321849378, 8);
  expect(localGravityMps2(-90, 0)).toBeCloseTo(localGravityMps2(90, 0), 12);
});
