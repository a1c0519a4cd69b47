/** Velocity against place and time: what is drawn is what the shot says, and the curve between is near what a real flight does. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { flightOf } from '../../host/charts/flight-of.ts';
import { chartRows, velocityChart } from '../../host/charts/index.ts';
import { polynomialBy } from '../../host/charts/polynomial-by.ts';
import { fly, referenceSphereDrag } from '../../host/physics/index.ts';
import type { Shot } from '../../protocol/index.ts';
import { FAKE_RIG } from '../support/fake-rig.ts';
import { fakeShot } from '../support/fake-shot.ts';

/** What docs/pages/shots.md says of the curve. */
const NEAR_MPS = 0.1;

test('between muzzle and target the curve is a sphere’s flight through air, from Mach 0.6 to 1.6, and meets its gates', () => {
  for (let v0 = 200; v0 <= 560; v0 += 10) {
    const real = sphereFlight(v0);
    const shot = shotOf(v0, real.speedMps(11), (x) => 0.02 + real.timeS(x));
    const flight = flightOf(shot, 11);
    for (let x = 0.5; x <= 11; x += 0.5) expect(Math.abs((flight?.speedMps(x) ?? Number.NaN) - real.speedMps(x))).toBeLessThan(NEAR_MPS);
    for (const { positionM, timeS } of shot.passages) expect(flight?.timeS(positionM)).toBeCloseTo(timeS, 9);
    expect(flight?.muzzleS).toBeCloseTo(0.02, 5);
  }
});

test('times that no ball can have flown leave a plain change from muzzle to target', () => {
  fc.assert(
    fc.property(fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 4, maxLength: 4 }), (times) => {
      const flight = flightOf(
        shotOf(300, 290, (x) => times[GATES_M.indexOf(x)] ?? 0),
        11,
      );
      for (let x = 0; x <= 11; x += 0.5) {
        expect(flight?.speedMps(x)).toBeGreaterThan(230);
        expect(flight?.speedMps(x)).toBeLessThan(380);
      }
    }),
  );
});

test('a polynomial has the values and integrals that it was made by', () => {
  const value = fc.double({ min: -10, max: 10, noNaN: true });
  fc.assert(
    fc.property(value, value, value, value, (a, b, c, d) => {
      const made = polynomialBy(
        [
          { at: 0, value: a },
          { at: 1, value: b },
        ],
        [
          { from: 0.1, to: 0.3, integral: c },
          { from: 0.3, to: 0.9, integral: d },
        ],
      );
      expect(made?.value(0)).toBeCloseTo(a, 6);
      expect(made?.value(1)).toBeCloseTo(b, 6);
      expect((made?.integral(0.3) ?? 0) - (made?.integral(0.1) ?? 0)).toBeCloseTo(c, 6);
      expect((made?.integral(0.9) ?? 0) - (made?.integral(0.3) ?? 0)).toBeCloseTo(d, 6);
    }),
  );
  const twice = { at: 0, value: 1 };
  expect(polynomialBy([twice, twice], [])).toBeUndefined();
});

test('the points are the shot’s results with their 95 % intervals, in the units asked for', () => {
  const shot = fakeShot({ number: 3 });
  for (const [system, perMps] of [
    ['SI', 1],
    ['US', 1 / 0.3048],
  ] as const) {
    const chart = velocityChart([{ shot, rig: FAKE_RIG, name: 'shot 3' }], 'place', system);
    const points = chart?.layers.flatMap((layer) => (layer.kind === 'points' ? layer.points : [])) ?? [];
    const results = [...shot.pairs.map(({ velocityMps }) => velocityMps), shot.muzzleVelocityMps, shot.targetVelocityMps];
    expect(points).toHaveLength(results.length);
    points.forEach(({ y, yHalf }, i) => {
      expect(y).toBeCloseTo((results[i]?.value ?? 0) * perMps, 6);
      expect(yHalf).toBeCloseTo((results[i]?.expandedUncertainty ?? 0) * perMps, 6);
    });
    const rows = chart ? chartRows(chart) : [];
    expect(rows.map(({ name }) => name)).toEqual([
      '95 %',
      'flight by all gates',
      'gate pair, ± 95 %',
      'muzzle and target, ± 95 %',
      'Marked',
    ]);
    expect(rows.at(-1)?.rows.map(([what]) => what)).toEqual(['A1', 'A2', 'B1', 'B2', 'target']);
  }
});

test('several shots have a look each, and one without a velocity is left out', () => {
  const { muzzleVelocityMps: _, ...without } = fakeShot({ number: 2 });
  const drawn = [fakeShot({ number: 1 }), without, fakeShot({ number: 3, muzzleMps: 400 })].map((shot) => ({
    shot,
    rig: FAKE_RIG,
    name: `shot ${shot.number}`,
  }));
  const chart = velocityChart(drawn, 'time');
  expect(chart?.layers.flatMap(({ name = '' }) => (name === '' ? [] : [name]))).toEqual(['shot 1, 95 %', 'shot 3, 95 %']);
  expect(new Set(chart?.layers.map(({ look }) => look)).size).toBe(2);
  expect(velocityChart(drawn.slice(1, 2), 'place')).toBeUndefined();
});

/** The Heron's ball in air of 1.2 kg/m³, 343 m/s and 1.5·10⁻⁵ m²/s, by the published sphere; 0.0135 per metre is ρA/2m. */
function sphereFlight(muzzleMps: number) {
  const drag = {
    retardationPerM: (1.2 * Math.PI * 0.06 ** 2) / 4 / (2 * 0.126),
    coefficientAt: (v: number) => referenceSphereDrag({ mach: v / 343, reynolds: (v * 0.06) / 1.5e-5 }).dragCoefficient,
  };
  const at = (x: number) => fly(muzzleMps, [x], drag)[0] ?? { timeS: Number.NaN, velocityMps: Number.NaN };
  return { timeS: (x: number) => at(x).timeS, speedMps: (x: number) => at(x).velocityMps };
}

const GATES_M = [1.5, 2.5, 9, 10];

function shotOf(muzzleMps: number, targetMps: number, timeS: (placeM: number) => number): Shot {
  const shot = fakeShot({ number: 1 });
  const speed = (value: number) => ({ ...(shot.muzzleVelocityMps as NonNullable<Shot['muzzleVelocityMps']>), value });
  const passages = GATES_M.map((positionM, i) => ({ gate: `G${i}`, pair: 'A', positionM, timeS: timeS(positionM) }));
  return { ...shot, muzzleVelocityMps: speed(muzzleMps), targetVelocityMps: speed(targetMps), passages };
}
