/** The crew's routine, and the range over whole sessions of it. */
import { describe, expect, test } from 'vitest';
import { HERON } from '../../firmware-sim/world/heron.ts';
import { PACES, type Pace, planCycle } from '../../firmware-sim/world/procedure.ts';
import { createWorld } from '../../firmware-sim/world/world.ts';

const cycles = (seed: number, pace: Pace, count: number) => {
  const planned = [planCycle({ seed, pace, number: 1, startS: 0 })];
  while (planned.length < count) planned.push(planCycle({ seed, pace, number: planned.length + 1, startS: planned.at(-1)?.endS ?? 0 }));
  return planned;
};

describe.each(PACES)('%s pace', (pace) => {
  test('shots come at the pace asked for, the first not before a clock can be fitted', () => {
    const [low, high] = pace === 'real' ? [24, 31] : [2.7, 3.4];
    for (let seed = 0; seed < 20; seed++) {
      const planned = cycles(seed, pace, 10);
      expect(planned[0]?.firedAtS).toBeGreaterThanOrEqual(2.5);
      for (const [i, cycle] of planned.slice(1).entries()) {
        const gapS = cycle.firedAtS - (planned[i]?.firedAtS ?? 0);
        expect(gapS).toBeGreaterThan(low);
        expect(gapS).toBeLessThan(high);
      }
    }
  });

  test('pressures never pass the rating or fall below nothing, and only ever fall in a jump', () => {
    for (let seed = 0; seed < 4; seed++) {
      const world = createWorld({ seed, pace, shots: 4, faults: [] });
      const endS = pace === 'real' ? 120 : 16;
      const stepS = endS / 8000;
      let [lowest, highest, barrelLowest, fastestRise, before] = [0, 0, Number.POSITIVE_INFINITY, 0, 0];
      for (let t = 0; t < endS; t += stepS) {
        world.advanceTo(t);
        const gaugePa = world.trueSi('reservoirPressure', t);
        lowest = Math.min(lowest, gaugePa);
        highest = Math.max(highest, gaugePa);
        barrelLowest = Math.min(barrelLowest, world.trueSi('barrelPressure', t));
        fastestRise = Math.max(fastestRise, gaugePa - before);
        before = gaugePa;
      }
      expect(highest).toBeLessThan(HERON.reservoirRatedPaGauge);
      expect(highest).toBeGreaterThan(0.4e6);
      expect(lowest).toBeGreaterThan(-2e3);
      expect(barrelLowest).toBeGreaterThan(500);
      // A fill takes some hundred of these steps at the least.
      expect(fastestRise).toBeLessThan(0.1e6);
    }
  });
});

test('set points cover gentle and hard shots, vacuum and none', () => {
  const planned = cycles(1, 'fast', 300);
  const fills = planned.map(({ fillPaGauge }) => fillPaGauge);
  expect(Math.min(...fills)).toBeLessThan(0.55e6);
  expect(Math.max(...fills)).toBeGreaterThan(3.4e6);
  expect(Math.max(...fills)).toBeLessThan(HERON.reservoirFillPaGaugeMax);
  const vacuums = planned.flatMap(({ vacuumPa }) => vacuumPa ?? []);
  expect(Math.min(...vacuums)).toBeGreaterThanOrEqual(1e3);
  expect(Math.max(...vacuums)).toBeLessThanOrEqual(30e3);
  expect(vacuums.length).toBeGreaterThan(200);
  expect(vacuums.length).toBeLessThan(295);
});

test('the latched truth is what the sensors would have seen just before the firing', () => {
  const world = createWorld({ seed: 12, pace: 'fast', shots: 5, faults: [] });
  let seen = 0;
  for (let t = 0; t < 20; t += 0.01) {
    for (const shot of world.advanceTo(t)) {
      seen += 1;
      const justBeforeS = shot.firedAtS - 1e-6;
      expect(world.trueSi('reservoirPressure', justBeforeS) + world.trueSi('airPressure', justBeforeS)).toBeCloseTo(
        shot.reservoirPressurePa,
        -1,
      );
      expect(world.trueSi('barrelPressure', justBeforeS)).toBeCloseTo(shot.barrelPressurePa, -1);
      expect(world.trueSi('airTemperature', justBeforeS)).toBeCloseTo(shot.air.temperatureK, 5);
    }
  }
  expect(seen).toBe(5);
  // After the last shot the range rests: empty, open to the air.
  expect(Math.abs(world.trueSi('reservoirPressure', 200))).toBeLessThan(2e3);
  expect(world.takeEdges(1000).filter(({ input, active }) => input === 0 && active).length).toBe(5);
});
