import { expect, test } from 'vitest';
import type { VacuumEvent, WatchEvent } from '../../protocol/index.ts';
import {
  AMBIENT_PA,
  BARREL,
  blocksOf,
  COURSES,
  coverageProblem,
  drawPump,
  drawSensor,
  type PumpCourse,
  pumpPa,
  runWatches,
  SETUP,
  sense,
  streamOf,
} from '../support/watch-courses.ts';

const isVacuum = (event: WatchEvent): event is VacuumEvent => event.type === 'vacuum';
const score = (stated: { value: number; standardUncertainty: number }, truth: number) =>
  (stated.value - truth) / stated.standardUncertainty;
const TARGET_PA = 5e3;

function run(seed: number, pump: PumpCourse, afterS: number, noisePa = 12) {
  const random = streamOf('pump-run', seed);
  const sensor = drawSensor(random, BARREL, pump.basePa, AMBIENT_PA, noisePa);
  const drift = BARREL.driftSiPerS * random.normal();
  const valueAt = (s: number) => sense(sensor, pumpPa(pump, s) + drift * Math.max(0, s - pump.shutAtS), s);
  const { events } = runWatches(blocksOf({ channel: 'barrelPressure', lengthS: pump.shutAtS + afterS, rateHz: 100, perBlock: 5, valueAt }));
  return events.filter(isVacuum);
}

test('base pressure, time to target and leak-up lie within their stated intervals as often as these promise', () => {
  const scores: Record<string, number[]> = {};
  const add = (name: string, z: number): void => {
    scores[name] = [...(scores[name] ?? []), z];
  };
  for (let seed = 1; seed <= COURSES; seed++) {
    const pump = drawPump(streamOf('pump', seed));
    const events = run(seed, pump, 20);
    const early = events.findLast((event) => event.atNs / 1e9 <= pump.pumpFromS + 1.5 * pump.tauS);
    const late = events.findLast((event) => event.atNs / 1e9 <= pump.pumpFromS + 5 * pump.tauS);
    if (early?.pumpDown?.timeToTargetS) {
      const span = pump.tauS * Math.log((AMBIENT_PA - pump.basePa) / (TARGET_PA - pump.basePa));
      add('time to target', score(early.pumpDown.timeToTargetS, pump.pumpFromS + span - early.atNs / 1e9));
    }
    if (late?.pumpDown?.basePressurePa) add('base pressure', score(late.pumpDown.basePressurePa, pump.basePa));
    if (late?.pumpDown) add('time constant', score(late.pumpDown.timeConstantS, pump.tauS));
    const leak = events.at(-1)?.leakUp;
    if (leak) add('leak-up', score(leak.ratePaPerS, pump.leakPaPerS));
    expect(events.at(-1)?.phase).toBe('rising');
    // The pump was shut off at a known moment: the rise is noticed soon after it, never before.
    const rise = (events.find((event) => event.phase === 'rising')?.phaseSinceNs ?? 0) / 1e9;
    expect(rise).toBeGreaterThan(pump.shutAtS);
    expect(rise).toBeLessThan(pump.shutAtS + 5);
  }
  expect(Object.keys(scores)).toHaveLength(4);
  expect(
    Object.entries(scores)
      .map(([name, all]) => coverageProblem(name, all))
      .filter(Boolean),
  ).toEqual([]);
}, 600_000);

test('a target below what the pump can reach is said in plain words, while it still pumps', () => {
  const pump = { pumpFromS: 3, shutAtS: 40, basePa: 7e3, tauS: 5, leakPaPerS: 10 };
  const events = run(1, pump, 0);
  const first = events.find((event) => event.pumpDown?.target === 'below-base');
  expect(first?.pressurePa.value).toBeGreaterThan(8e3);
  expect(first?.words).toContain('is below what this pump can reach');
  expect(events.at(-1)?.phase).toBe('base');
  expect(events.some((event) => event.pumpDown?.target === 'ahead' && event.atNs > (first?.atNs ?? 0))).toBe(false);
});

test('phases follow the pump, the reached target is told, and air let in is venting', () => {
  const random = streamOf('vented', 1);
  const pump = { pumpFromS: 3, shutAtS: 43, basePa: 1e3, tauS: 4, leakPaPerS: 15 };
  const valueAt = (s: number) =>
    sense({ random, noiseSi: 12 }, s < 60 ? pumpPa(pump, s) : Math.min(AMBIENT_PA, pumpPa(pump, 60) + 12e3 * (s - 60)), s);
  const { events, state } = runWatches(blocksOf({ channel: 'barrelPressure', lengthS: 75, rateHz: 1000, valueAt }));
  const told = events.filter(isVacuum);
  expect(told.map((event) => event.phase).filter((phase, i, all) => phase !== all[i - 1])).toEqual([
    'unknown',
    'open',
    'pumping',
    'base',
    'rising',
    'venting',
    'open',
  ]);
  expect(told.findLast((event) => event.phase === 'base')?.pumpDown?.target).toBe('reached');
  expect(told.every((event) => !event.words.includes('NaN') && !event.words.includes('undefined'))).toBe(true);
  expect(JSON.stringify(state.vacuum).length).toBeLessThan(40_000);
  expect(SETUP.vacuum?.targetPa).toBe(TARGET_PA);
});
