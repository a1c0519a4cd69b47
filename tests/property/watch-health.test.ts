import fc from 'fast-check';
import { expect, test } from 'vitest';
import { type ChannelWatchSetup, passTime, takeSamples, type WatchSamples } from '../../host/pipeline/watches/index.ts';
import type { HealthEvent, WatchEvent } from '../../protocol/index.ts';
import { runVirtualRange } from '../support/virtual-range.ts';
import { BARREL, blocksOf, COURSES, RESERVOIR, runWatches, SETUP, sense, streamOf, valvePa } from '../support/watch-courses.ts';

const channel = 'reservoirPressure';
const isHealth = (event: WatchEvent): event is HealthEvent => event.type === 'health';
const states = (events: readonly WatchEvent[]) => events.filter(isHealth).map((event) => event.health);
const random = (name: string) => streamOf(name, 1);

/** Fifteen seconds of a quiet transducer, then what is asked for, then the transducer again. */
function spoiled(name: string, lengthS: number, bad: (s: number, good: number) => number, rateHz = 1000) {
  const chance = random(name);
  const good = (s: number) => sense({ random: chance, noiseSi: 180, stepSi: 114 }, 2e6, s);
  const valueAt = (s: number) => (s >= 15 && s < 15 + lengthS ? bad(s, good(s)) : good(s));
  return runWatches(blocksOf({ channel, lengthS: 30, rateHz, perBlock: Math.max(1, rateHz / 20), valueAt }));
}

test('a stuck, a noisy and a railed transducer are called that and found healthy again', () => {
  const chance = random('extra');
  expect(states(spoiled('stuck', 5, () => 2_000_014).events)).toEqual(['healthy', 'stuck', 'healthy']);
  expect(states(spoiled('noisy', 5, (_, good) => good + 3000 * chance.normal()).events)).toEqual(['healthy', 'noisy', 'healthy']);
  expect(states(spoiled('railed', 5, () => 6.95e6).events)).toEqual(['healthy', 'railed', 'healthy']);
  expect(states(spoiled('railed-noisily', 5, (s) => 6.95e6 + (Math.round(s * 1e3) % 2)).events)).toEqual(['healthy', 'railed', 'healthy']);
  expect(states(spoiled('railed low', 1, () => -700e3, 10).events)).toEqual(['healthy', 'railed', 'healthy']);
  expect(states(spoiled('no number', 1, () => Number.NaN).events)).toEqual(['healthy', 'fault', 'healthy']);
});

test('while a transducer is not healthy no other watch says a number from it', () => {
  const { events } = spoiled('gating', 6, () => 6.95e6);
  const railed = events.filter(isHealth).find((event) => event.health === 'railed')?.atNs ?? 0;
  const back = events.filter(isHealth).find((event) => event.was !== 'waiting' && event.health === 'healthy')?.atNs ?? 0;
  expect(back - railed).toBeGreaterThan(5.9e9);
  expect(events.filter((event) => event.type === 'fill' && event.atNs > railed && event.atNs < back)).toEqual([]);
  expect(events.some((event) => event.type === 'fill' && event.pressurePa.value > 3e6)).toBe(false);
});

test('silence is told once, at the time that the setup gives it, and speech ends it; a reported fault is passed on', () => {
  const { state } = spoiled('silent', 0, (_, good) => good);
  expect(passTime(state, SETUP, 31.9e9)[1]).toEqual([]);
  const [silent, told] = passTime(state, SETUP, 32.1e9);
  expect(told).toMatchObject([{ health: 'disconnected', was: 'healthy' }]);
  expect(passTime(silent, SETUP, 40e9)[1]).toEqual([]);
  const block: WatchSamples = { channel, atNs: 41e9, fromNs: 41e9, periodNs: 1e6, valuesSi: [2e6, 2.0001e6] };
  const [back, again] = takeSamples(silent, SETUP, block);
  expect(states(again)).toEqual(['healthy']);
  const [, fault] = takeSamples(back, SETUP, { ...block, atNs: 42e9, fromNs: 42e9, fault: 'loop current 3.4 mA, below 3.6 mA' });
  expect(fault).toMatchObject([{ type: 'health', health: 'fault', words: expect.stringContaining('3.4 mA') }]);
});

test('a gauge of few digits that often stands still is not stuck; one that never moved is stuck only by a stated time', () => {
  const chance = random('digits');
  const coarse = (s: number) => sense({ random: chance, noiseSi: 300, stepSi: 1000 }, 2_000_300, s);
  expect(states(runWatches(blocksOf({ channel, lengthS: 3600, rateHz: 2, perBlock: 1, valueAt: coarse })).events)).toEqual(['healthy']);
  const still = { channel, lengthS: 60, rateHz: 10, perBlock: 1, valueAt: () => 2e6 };
  expect(states(runWatches(blocksOf(still)).events)).toEqual(['healthy']);
  const stated = { ...SETUP, channels: [{ ...RESERVOIR, identicalMaxS: 20 }] };
  expect(states(runWatches(blocksOf(still), stated).events)).toEqual(['healthy', 'stuck']);
});

test('no clean transducer is ever found unhealthy, whatever its noise, converter and rate, filling, falling or fired', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: 1e6 }),
      fc.constantFrom(2, 50, 1000),
      fc.double({ min: 20, max: 2000, noNaN: true }),
      fc.constantFrom(0, 114, 500, 2000),
      (seed, rateHz, noiseSi, stepSi) => {
        const chance = streamOf('clean', seed);
        const rate = chance.between(0, 60e3);
        const firedS = 30;
        const valve = { openedAtS: firedS, shape: 2, beforePa: 0.5e6 + rate * 20, openingS: 0.005, fullRatePerS: 14, gamma: 1.4 };
        const trueAt = (s: number) => Math.max(98e3, s < firedS ? 0.5e6 + rate * Math.min(s, 20) : valvePa(valve, s));
        const valueAt = (s: number) => sense({ random: chance, noiseSi, stepSi }, trueAt(s), s);
        const blocks = blocksOf({ channel, lengthS: rateHz === 2 ? 600 : 45, rateHz, perBlock: Math.max(1, rateHz / 20), valueAt });
        // Health is judged before all else and asks no other watch.
        expect(states(runWatches(blocks, { channels: [RESERVOIR], limits: [] }).events)).toEqual(['healthy']);
      },
    ),
    // Noise of a hundredth of a step: filling and firing are the only changes it ever shows.
    { numRuns: COURSES, examples: [[10, 2, 20, 2000]] },
  );
}, 120_000);

test('a transducer whose noise is a whole step of its converter, or half of one, is found stuck by the time that is stated', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 0, max: 1e6 }),
      fc.constantFrom(2, 50, 1000),
      fc.constantFrom(0.5, 1, 5),
      fc.double({ min: -0.5, max: 0.5, noNaN: true }),
      (seed, rateHz, noiseSteps, place) => {
        const chance = streamOf('stuck', seed);
        const frozenS = 8000 / rateHz;
        const heldSi = 100 * Math.round(place * noiseSteps);
        const valueAt = (s: number) =>
          s < frozenS ? sense({ random: chance, noiseSi: 100 * noiseSteps, stepSi: 100 }, 2e6 + 100 * place, s) : 2e6 + heldSi;
        const withinS = Math.max(0.5, (noiseSteps < 1 ? 2000 : 400) / rateHz);
        const perBlock = Math.max(1, rateHz / 20);
        const blocks = blocksOf({ channel, lengthS: frozenS + withinS + 2 * (perBlock / rateHz), rateHz, perBlock, valueAt });
        expect(states(runWatches(blocks, { channels: [RESERVOIR], limits: [] }).events)).toEqual(['healthy', 'stuck']);
      },
    ),
    { numRuns: COURSES },
  );
}, 120_000);

test('a quiet gauge that showed swings only while a booster beat is not stuck when it stands still again', () => {
  // Strokes of two steps, at four samples a stroke; before and after them less noise than the gauge can show.
  const stroke = (s: number) => (s > 600 && s < 1800 ? 1e3 * ([0, 1, 2, 1][Math.round(s * 10) % 4] as number) : 0);
  const valueAt = (s: number) => 2e6 + stroke(s);
  const blocks = blocksOf({ channel, lengthS: 2900, rateHz: 10, perBlock: 1, valueAt });
  expect(states(runWatches(blocks, { channels: [RESERVOIR], limits: [] }).events)).toEqual(['healthy']);
});

test('the whole simulated range, filled, pumped down and fired: nothing but the barrel’s true pressure beyond its range', () => {
  const run = runVirtualRange({ seed: 3, shots: 3 });
  const blocks = run.events.flatMap((event) => (event.type === 'samples' && event.stream === 'slow' ? [event] : []));
  const others: readonly ChannelWatchSetup[] = ['airTemperature', 'airPressure', 'airHumidity'].map((name) => ({
    channel: name,
    standardUncertaintySi: 1,
    driftSiPerS: 0,
    silentAfterS: 2,
  }));
  const { events } = runWatches(blocks, { ...SETUP, channels: [RESERVOIR, BARREL, ...others] });
  const unhealthy = events.filter(isHealth).filter((event) => event.health !== 'healthy');
  expect(unhealthy.every((event) => event.channel === 'barrelPressure' && event.health === 'railed')).toBe(true);
  const phases = events.flatMap((event) => (event.type === 'fill' ? [event.phase] : []));
  for (const phase of ['filling', 'settling', 'steady', 'empty']) expect(phases).toContain(phase);
});
