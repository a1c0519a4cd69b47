/** The launcher against gas-dynamics tables, its own energy, and the bounds that no shot from warm gas can beat. */
import { describe, expect, test } from 'vitest';
import { type LaunchInput, launch, nozzleFlow, pistonShockRatio } from '../../firmware-sim/world/launcher.ts';

const input = (change: Partial<LaunchInput> = {}): LaunchInput => ({
  reservoirVolumeM3: 0.045,
  boreM: 0.06,
  barrelLengthM: 5.5,
  ballMassKg: 0.126,
  reservoirPressurePa: 2.1e6,
  reservoirTemperatureK: 290,
  barrelPressurePa: 2e3,
  ambientPressurePa: 98e3,
  ambientTemperatureK: 288,
  valveFactor: 1,
  ...change,
});

test('nozzle flow chokes as NACA 1135 says', () => {
  // Γ = 0.68473146 for γ = 1.4; R of nitrogen 296.803 J/(kg K).
  const area = (Math.PI * 0.01 ** 2) / 4;
  const expected = (0.68473146 * area * 1e6) / Math.sqrt(296.803 * 293.15);
  expect(nozzleFlow(area, 1e6, 293.15, 0) / expected).toBeCloseTo(1, 7);
  expect(nozzleFlow(area, 1e6, 293.15, 0.528e6)).toBe(nozzleFlow(area, 1e6, 293.15, 0));
  expect(nozzleFlow(area, 1e6, 293.15, 0.7e6)).toBeLessThan(nozzleFlow(area, 1e6, 293.15, 0.6e6));
  expect(nozzleFlow(area, 1e6, 293.15, 1e6)).toBe(0);
  // Unchoked, NACA 1135 table I at M = 0.5: p/p0 = 0.8430192, A/A* = 1.339844.
  expect(nozzleFlow(area, 1e6, 293.15, 0.8430192e6) / (expected / 1.339844)).toBeCloseTo(1, 5);
});

test('a piston drives the shock of the normal-shock table', () => {
  // NACA 1135, γ = 1.4: shock Mach 1.5, 2, 3 have p2/p1 2.458333, 4.5, 10.33333; gas behind moves at 2/(γ+1)·(M − 1/M).
  for (const [shock, ratio] of [
    [1.5, 2.458333],
    [2, 4.5],
    [3, 10.33333],
  ] as const) {
    expect(pistonShockRatio((2 / 2.4) * (shock - 1 / shock))).toBeCloseTo(ratio, 5);
  }
  expect(pistonShockRatio(0)).toBe(1);
});

describe('over the range of fills and vacuums', () => {
  const shots = [0.4e6, 0.8e6, 1.6e6, 2.6e6, 3.8e6].flatMap((gaugePa) =>
    [500, 5e3, 30e3, 98e3].map((barrelPressurePa) => {
      const given = input({ reservoirPressurePa: gaugePa + 98e3, barrelPressurePa });
      return { gaugePa, given, shot: launch(given) };
    }),
  );

  test('no shot beats the adiabatic, the isothermal, the constant-pressure or the escape bound', () => {
    for (const { given, shot } of shots) {
      const { reservoirPressurePa: p0, reservoirVolumeM3: v0, ballMassKg: m } = given;
      const barrelVolume = ((Math.PI * given.boreM ** 2) / 4) * given.barrelLengthM;
      // Rohrbach, Buresh, Madsen 2012, Am. J. Phys. 80, 24, with vacuum ahead: an upper bound with or without air there.
      const adiabatic = Math.sqrt((2 / m) * ((p0 * v0) / 0.4) * (1 - (v0 / (v0 + barrelVolume)) ** 0.4));
      const isothermal = Math.sqrt((2 / m) * p0 * v0 * Math.log(1 + barrelVolume / v0));
      const constantPressure = Math.sqrt((2 * p0 * barrelVolume) / m);
      const escapeSpeed = 5 * Math.sqrt(1.4 * 296.803 * given.reservoirTemperatureK);
      expect(shot.muzzleVelocityMps).toBeLessThan(adiabatic);
      expect(adiabatic).toBeLessThan(isothermal);
      expect(isothermal).toBeLessThan(constantPressure);
      expect(shot.muzzleVelocityMps).toBeLessThan(escapeSpeed);
    }
  });

  test('speeds are those of Heron, and rise with the fill and with the vacuum', () => {
    const speed = (gaugePa: number, barrelPa: number): number =>
      shots.find((s) => s.gaugePa === gaugePa && s.given.barrelPressurePa === barrelPa)?.shot.muzzleVelocityMps ?? Number.NaN;
    expect(speed(0.4e6, 98e3)).toBeGreaterThan(180);
    expect(speed(0.4e6, 98e3)).toBeLessThan(220);
    expect(speed(3.8e6, 500)).toBeGreaterThan(540);
    expect(speed(3.8e6, 500)).toBeLessThan(570);
    expect(speed(1.6e6, 5e3)).toBeGreaterThan(speed(0.8e6, 5e3));
    expect(speed(1.6e6, 500)).toBeGreaterThan(speed(1.6e6, 30e3));
    expect(speed(1.6e6, 30e3)).toBeGreaterThan(speed(1.6e6, 98e3));
  });

  test('the ball takes no more energy than the gas has lost', () => {
    for (const { given, shot } of shots) {
      const t = shot.exitTimeS - 5e-5;
      const breechVolume = 0.8e-3;
      const barrelVolume = ((Math.PI * given.boreM ** 2) / 4) * given.barrelLengthM + breechVolume;
      // Internal energy pV/(γ−1); the gas's own motion is left out, which makes the test the sharper.
      const before = (given.reservoirPressurePa * given.reservoirVolumeM3 + given.barrelPressurePa * breechVolume) / 0.4;
      const after = (shot.reservoirPa(t) * given.reservoirVolumeM3 + shot.barrelTapPa(t) * barrelVolume) / 0.4;
      const ball = 0.5 * given.ballMassKg * shot.muzzleVelocityMps ** 2;
      expect(ball).toBeLessThan(before - after);
      expect(ball).toBeGreaterThan(0.3 * (before - after));
    }
  });

  test('the ball is out within the burst, or nearly; the reservoir then empties', () => {
    for (const { given, shot } of shots) {
      expect(shot.exitTimeS).toBeGreaterThan(0.015);
      expect(shot.exitTimeS).toBeLessThan(0.06);
      expect(shot.reservoirPa(0)).toBeCloseTo(given.reservoirPressurePa, 3);
      expect(shot.reservoirPa(-1)).toBeCloseTo(given.reservoirPressurePa, 3);
      expect(shot.barrelTapPa(0)).toBe(given.barrelPressurePa);
      expect(shot.reservoirPa(2)).toBeLessThan(1.05 * given.ambientPressurePa);
    }
  });
});

test('halving the mass of the ball makes it faster, but less than √2 times', () => {
  const heavy = launch(input()).muzzleVelocityMps;
  const light = launch(input({ ballMassKg: 0.063 })).muzzleVelocityMps;
  expect(light).toBeGreaterThan(1.05 * heavy);
  expect(light).toBeLessThan(Math.SQRT2 * heavy);
});
