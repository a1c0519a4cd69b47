/** The crew's routine, and the range over whole sessions of it. */
import { describe, expect, test } from 'vitest';
import { HERON } from '../../firmware-sim/world/heron.ts';
import { PACE_FACTOR, PACES, type Pace, planCycle, type SetPoints } from '../../firmware-sim/world/procedure.ts';
import { createWorld, type World } from '../../firmware-sim/world/world.ts';

function cycles(seed: number, pace: Pace, count: number, setPoints: SetPoints = 'target') {
  const planned = [planCycle({ seed, pace, setPoints, number: 1, startS: 0 })];
  while (planned.length < count) {
    planned.push(planCycle({ seed, pace, setPoints, number: planned.length + 1, startS: planned.at(-1)?.endS ?? 0 }));
  }
  return planned;
}

describe.each(PACES)('%s pace', (pace) => {
  test('shots come at the pace asked for, the first not before a clock can be fitted', () => {
    const [low, high] = pace === 'real' ? [225, 255] : [3, 3.4];
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

  test.each<SetPoints>(['target', 'spread'])(
    'set points "%s": pressures never pass the relief or fall below nothing, and only fall in a jump',
    (setPoints) => {
      for (let seed = 0; seed < 4; seed++) {
        const world = createWorld({ seed, pace, setPoints, shots: 4, faults: [] });
        const endS = 1000 / PACE_FACTOR[pace];
        let [lowest, highest, barrelLowest, fastestRise, before] = [0, 0, Number.POSITIVE_INFINITY, 0, 0];
        for (let t = 0; t < endS; t += endS / 10_000) {
          world.advanceTo(t);
          const gaugePa = world.trueSi('reservoirPressure', t);
          lowest = Math.min(lowest, gaugePa);
          highest = Math.max(highest, gaugePa);
          barrelLowest = Math.min(barrelLowest, world.trueSi('barrelPressure', t));
          fastestRise = Math.max(fastestRise, gaugePa - before);
          before = gaugePa;
        }
        expect(highest).toBeLessThan(HERON.reservoirReliefPaGauge);
        expect(highest).toBeGreaterThan(0.4e6);
        expect(lowest).toBeGreaterThan(-2e3);
        expect(barrelLowest).toBeGreaterThan(500);
        // A fill takes some hundred of these steps at the least.
        expect(fastestRise).toBeLessThan(0.1e6);
      }
    },
  );
});

test('spread set points cover gentle and hard shots, vacuum and none', () => {
  const planned = cycles(1, 'fast', 300, 'spread');
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

test('set points at the target lie about it as a hand at a valve meets it, and below that of the vacuum', () => {
  const planned = cycles(1, 'fast', 300);
  const off = planned.map(({ fillPaGauge }) => fillPaGauge / HERON.fillTargetPaGauge - 1);
  expect(Math.max(...off.map(Math.abs))).toBeLessThan(0.015);
  expect(Math.max(...off) - Math.min(...off)).toBeGreaterThan(0.01);
  for (const { vacuumPa } of planned) expect(vacuumPa).toBeLessThan(0.5 * HERON.vacuumTargetPa);
});

test('the latched truth is what the sensors would have seen just before the firing', () => {
  const world = createWorld({ seed: 12, pace: 'fast', setPoints: 'spread', shots: 5, faults: [] });
  let seen = 0;
  for (let t = 0; t < 20; t += 0.01) {
    for (const shot of world.advanceTo(t)) {
      seen += 1;
      const justBeforeS = shot.firedAtS - 1e-6;
      const absolutePa = world.trueSi('reservoirPressure', justBeforeS) + world.trueSi('airPressure', justBeforeS);
      expect(absolutePa).toBeCloseTo(shot.reservoirPressurePa, -1);
      expect(world.trueSi('barrelPressure', justBeforeS)).toBeCloseTo(shot.barrelPressurePa, -1);
      expect(world.trueSi('airTemperature', justBeforeS)).toBeCloseTo(shot.air.temperatureK, 5);
      expect(world.trueSi('tailwind', justBeforeS)).toBeCloseTo(shot.tailwindMps, 5);
    }
  }
  expect(seen).toBe(5);
  // After the last shot the range rests: empty, open to the air, its gas as warm as that.
  expect(Math.abs(world.trueSi('reservoirPressure', 200))).toBeLessThan(2e3);
  expect(Math.abs(world.trueSi('reservoirTemperature', 200) - world.trueSi('airTemperature', 200))).toBeLessThan(2);
  expect(world.takeEdges(1000).filter(({ input, active }) => input === 0 && active).length).toBe(5);
});

describe('one cycle at the real pace', () => {
  const plan = planCycle({ seed: 3, pace: 'real', setPoints: 'target', number: 1, startS: 0 });
  const opened = (leaky: boolean): World => {
    const world = createWorld({ seed: 3, pace: 'real', setPoints: 'target', shots: 1, faults: [], leaky });
    world.advanceTo(plan.endS + 60);
    return world;
  };
  const world = opened(false);
  const shutS = plan.fillFromS + plan.lengths.fill;
  const gauge = (timeS: number, at = world): number => at.trueSi('reservoirPressure', timeS);

  test('the gas is warmed by the filling, and the pressure falls back to its settled value once the valve is shut', () => {
    const overshoot = gauge(shutS) / plan.fillPaGauge - 1;
    expect(overshoot).toBeGreaterThan(0.02);
    expect(overshoot).toBeLessThan(0.08);
    expect(world.trueSi('reservoirTemperature', shutS) - world.trueSi('airTemperature', shutS)).toBeGreaterThan(8);
    expect(gauge(plan.pumpFromS) / plan.fillPaGauge - 1).toBeCloseTo(0, 2);
  });

  test('what is left to cool falls by the same share in the same time: one time constant', () => {
    // Far enough from each other to see it, soon enough that the leak does not count.
    const left = (s: number): number => gauge(shutS + s) - plan.fillPaGauge;
    expect(left(10) / left(5) / (left(5) / left(0))).toBeCloseTo(1, 1);
    expect(left(5) / left(0)).toBeGreaterThan(0.5);
    expect(left(5) / left(0)).toBeLessThan(0.8);
  });

  test('a vessel that leaks loses some ten times as much as a sound one', () => {
    const lost = (at: World): number => (gauge(plan.pumpFromS, at) - gauge(plan.firedAtS - 1, at)) / (plan.firedAtS - 1 - plan.pumpFromS);
    expect(lost(world)).toBeGreaterThan(10);
    expect(lost(world)).toBeLessThan(60);
    expect(lost(opened(true))).toBeGreaterThan(10 * lost(world));
  });

  test('the barrel is pumped down along one exponential, leaks once the pump is isolated, and is vented by the firing', () => {
    const barrel = (timeS: number, at = world): number => at.trueSi('barrelPressure', timeS);
    const basePa = 0.9 * (plan.vacuumPa ?? Number.NaN);
    const [a, b, c] = [10, 20, 30].map((s) => barrel(plan.pumpFromS + s) - basePa) as [number, number, number];
    expect(b / a / (c / b) - 1).toBeCloseTo(0, 2);
    const isolatedS = plan.pumpFromS + plan.lengths.pump;
    expect(barrel(isolatedS)).toBeCloseTo(plan.vacuumPa ?? Number.NaN, 0);
    const rise = (at: World): number => (barrel(isolatedS + 10, at) - barrel(isolatedS, at)) / 10;
    expect(rise(world)).toBeCloseTo(15, 0);
    expect(rise(opened(true))).toBeGreaterThan(8 * rise(world));
    expect(barrel(plan.firedAtS + 5)).toBeCloseTo(world.trueSi('airPressure', plan.firedAtS + 5), 6);
  });

  test('the gas is cold after the firing and warms again', () => {
    const belowAir = (timeS: number): number => world.trueSi('airTemperature', timeS) - world.trueSi('reservoirTemperature', timeS);
    expect(belowAir(plan.firedAtS - 0.1)).toBeLessThan(1);
    expect(belowAir(plan.firedAtS + 5)).toBeGreaterThan(20);
    expect(belowAir(plan.firedAtS + 60)).toBeLessThan(3);
  });
});

test('the fast pace is the real one with shorter times: the same pressures at the same shares of a phase', () => {
  const at = (pace: Pace, phase: 'fillFromS' | 'pumpFromS', share: number, quantity: 'reservoirPressure' | 'barrelPressure'): number => {
    const plan = planCycle({ seed: 5, pace, setPoints: 'target', number: 1, startS: 0 });
    const world = createWorld({ seed: 5, pace, setPoints: 'target', shots: 1, faults: [] });
    world.advanceTo(plan.endS);
    return world.trueSi(quantity, plan[phase] + share * (phase === 'fillFromS' ? plan.lengths.fill : plan.lengths.pump));
  };
  for (const share of [0.2, 0.5, 0.9, 1.3]) {
    expect(at('fast', 'fillFromS', share, 'reservoirPressure') / at('real', 'fillFromS', share, 'reservoirPressure')).toBeCloseTo(1, 3);
    expect(at('fast', 'pumpFromS', share, 'barrelPressure') / at('real', 'pumpFromS', share, 'barrelPressure')).toBeCloseTo(1, 2);
  }
});

test('wind along the range over many sessions is as the rig file assumes it, and gusts within each', () => {
  const winds = Array.from({ length: 200 }, (_, seed) => {
    const world = createWorld({ seed, pace: 'fast', setPoints: 'target', shots: 1, faults: [] });
    return Array.from({ length: 40 }, (_, i) => world.trueSi('tailwind', i * 0.7));
  });
  const rms = (values: readonly number[]): number => Math.sqrt(values.reduce((sum, v) => sum + v * v, 0) / values.length);
  const means = winds.map((each) => each.reduce((sum, v) => sum + v, 0) / each.length);
  expect(rms(winds.flat()) / HERON.tailwindUncertaintyMps).toBeCloseTo(1, 0.7);
  expect(rms(means) / HERON.tailwindUncertaintyMps).toBeCloseTo(0.8, 0.7);
  const gusts = winds.flatMap((each, i) => each.map((v) => v - (means[i] ?? 0)));
  expect(rms(gusts)).toBeGreaterThan(0.2);
});
