/** What is told of the pressure that a pump comes to at last: never below zero, never above what it has reached, and as sure as it says. */
import { expect, test } from 'vitest';
import type { PumpDown, VacuumEvent } from '../../protocol/index.ts';
import {
  AMBIENT_PA,
  BARREL,
  blocksOf,
  drawSensor,
  type PumpCourse,
  pumpPa,
  runWatches,
  sense,
  streamOf,
} from '../support/watch-courses.ts';

const RUNS = Number(process.env.WATCH_COURSES ?? 100);

/** From a pump of a forevacuum to one that hardly does anything, and from a quiet gauge to a coarse one. */
function drawRun(seed: number): { readonly pump: PumpCourse; readonly told: readonly VacuumEvent[] } {
  const random = streamOf('base', seed);
  const tauS = random.between(3, 12);
  const basePa = Math.exp(random.between(Math.log(20), Math.log(2e4)));
  const noisePa = Math.exp(random.between(Math.log(5), Math.log(1500)));
  const gaugePa = Math.exp(random.between(Math.log(20), Math.log(1500)));
  const pump = { pumpFromS: 3, tauS, basePa, shutAtS: 3 + tauS * random.between(4, 7), leakPaPerS: 0 };
  const claim = { ...BARREL, standardUncertaintySi: gaugePa };
  const sensor = drawSensor(random, claim, basePa, AMBIENT_PA, noisePa);
  const valueAt = (s: number): number => sense(sensor, pumpPa(pump, s), s);
  const blocks = blocksOf({ channel: 'barrelPressure', lengthS: pump.shutAtS, rateHz: 50, perBlock: 5, valueAt });
  const vacuum = { channel: 'barrelPressure', ambientPa: AMBIENT_PA };
  const { events } = runWatches(blocks, { channels: [claim], vacuum, limits: [] });
  return { pump, told: events.filter((event) => event.type === 'vacuum') };
}

const NUMBER_BELOW_ZERO = /[-−]\d/;

/** The told 95 % interval; undefined where nothing is told. */
function intervalOf({ basePressurePa: base, basePressureAtMostPa: atMostPa }: PumpDown): readonly [number, number] | undefined {
  if (base) return [base.value - base.expandedUncertainty, base.value + base.expandedUncertainty];
  return atMostPa === undefined ? undefined : [0, atMostPa];
}

test('no sentence names a pressure below zero, and the true base is within the told interval as often as it promises', () => {
  const held = { first: 0, midway: 0, last: 0, runs: 0, bounds: 0, both: 0 };
  for (let seed = 1; seed <= RUNS; seed++) {
    const { pump, told } = drawRun(seed);
    expect(told.map(({ words }) => words).filter((words) => NUMBER_BELOW_ZERO.test(words))).toEqual([]);
    const intervals = told.flatMap(({ pumpDown }) => {
      const interval = pumpDown && intervalOf(pumpDown);
      return interval ? [interval] : [];
    });
    const midway = told.findLast(({ pumpDown, atNs }) => pumpDown && intervalOf(pumpDown) && atNs / 1e9 < pump.pumpFromS + 1.5 * pump.tauS);
    for (const [low, high] of intervals) {
      expect(low).toBeGreaterThanOrEqual(0);
      expect(high).toBeGreaterThan(low);
    }
    const [first] = intervals;
    const last = intervals.at(-1);
    if (!first || !last || !midway?.pumpDown) continue;
    const holds = (interval: readonly [number, number] | undefined): boolean =>
      interval !== undefined && interval[0] <= pump.basePa && pump.basePa <= interval[1];
    held.runs++;
    if (holds(first)) held.first++;
    if (holds(intervalOf(midway.pumpDown))) held.midway++;
    if (holds(last)) held.last++;
    if (last[0] === 0) held.bounds++;
    else held.both++;
  }
  expect(held.runs).toBeGreaterThan(0.8 * RUNS);
  // As many fewer as so few runs may show by chance (2.6 standard deviations of a binomial count).
  const least = 0.94 - 2.6 * Math.sqrt((0.94 * 0.06) / held.runs);
  for (const moment of [held.first, held.midway, held.last]) expect(moment / held.runs).toBeGreaterThanOrEqual(least);
  expect((held.first + held.midway + held.last) / (3 * held.runs)).toBeGreaterThanOrEqual(0.94);
  // Both ways of telling it occur, or the property would say nothing of one of them.
  expect(held.bounds).toBeGreaterThan(0.05 * RUNS);
  expect(held.both).toBeGreaterThan(0.3 * RUNS);
}, 120_000);
