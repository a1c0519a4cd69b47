import { expect, test } from 'vitest';
import { acknowledge, passTime, takeSamples } from '../../host/pipeline/watches/index.ts';
import type { FillEvent, WatchEvent } from '../../protocol/index.ts';
import {
  blocksOf,
  COURSES,
  coverageProblem,
  drawFill,
  drawSensor,
  FILL,
  fillPa,
  RESERVOIR,
  runWatches,
  SETUP,
  sense,
  streamOf,
} from '../support/watch-courses.ts';

const isFill = (event: WatchEvent): event is FillEvent => event.type === 'fill';
const score = (stated: { value: number; standardUncertainty: number }, truth: number) =>
  (stated.value - truth) / stated.standardUncertainty;

function course(seed: number, afterS: number, noisePa = 180) {
  const random = streamOf('fill', seed);
  const fill = drawFill(random);
  const sensor = drawSensor(random, RESERVOIR, fill.settledPa, FILL.maximumPa, noisePa);
  const drift = Math.hypot(RESERVOIR.driftSiPerS, (fill.settledPa / FILL.wallTemperatureK) * FILL.wallDriftKPerS) * random.normal();
  const targetPa = fill.settledPa + random.between(-25e3, 25e3);
  const setup = { ...SETUP, fill: { ...FILL, targetPa } };
  const valueAt = (s: number) => sense(sensor, fillPa(fill, s) + drift * Math.max(0, s - fill.shutAtS), s);
  const blocks = [...blocksOf({ channel: 'reservoirPressure', lengthS: fill.shutAtS + afterS, rateHz: 100, perBlock: 5, valueAt })];
  return { fill, targetPa, setup, blocks, ...runWatches(blocks, setup) };
}

test('settled pressure, time constant and leak lie within their stated intervals as often as these promise', () => {
  const scores: Record<string, number[]> = {};
  const add = (name: string, z: number): void => {
    scores[name] = [...(scores[name] ?? []), z];
  };
  const phases = new Set<string>();
  for (let seed = 1; seed <= COURSES; seed++) {
    const { fill, events } = course(seed, 45);
    const told = events.filter(isFill);
    phases.add(
      told
        .map((event) => event.phase)
        .filter((phase, i, all) => phase !== all[i - 1])
        .join(' '),
    );
    for (const [name, afterS] of [
      ['3 time constants', 3 * fill.tauS],
      ['45 s', 45],
    ] as const) {
      const event = told.findLast((each) => each.atNs / 1e9 <= fill.shutAtS + afterS);
      if (event?.settling) add(`settled pressure after ${name}`, score(event.settling.settledPressurePa, fill.settledPa));
      if (event?.settling) add(`time constant after ${name}`, score(event.settling.timeConstantS, fill.tauS));
      if (event?.hold) add(`leak after ${name}`, score(event.hold.leakPaPerS, fill.leakPaPerS));
    }
  }
  expect([...phases]).toEqual(['unknown empty filling settling steady']);
  expect(Object.keys(scores)).toHaveLength(6);
  expect(
    Object.entries(scores)
      .map(([name, all]) => coverageProblem(name, all))
      .filter(Boolean),
  ).toEqual([]);
}, 600_000);

test('a rate of an even rise lies within its interval', () => {
  const scores = Array.from({ length: 4 * COURSES }, (_, k) => {
    const random = streamOf('ramp', k);
    const rate = random.between(2e3, 60e3);
    const valueAt = (s: number) => sense({ random, noiseSi: 400 }, 1e6 + rate * s, s);
    const { events } = runWatches(blocksOf({ channel: 'reservoirPressure', lengthS: 6, rateHz: 100, perBlock: 10, valueAt }));
    const last = events.filter(isFill).at(-1)?.ratePaPerS;
    return last
      ? (last.value - rate) /
          Math.sqrt(last.standardUncertainty ** 2 - (last.value * (RESERVOIR.standardUncertaintySi / FILL.maximumPa)) ** 2)
      : Number.NaN;
  });
  expect(coverageProblem('rate', scores)).toBe('');
});

test('it tells when the pressure will be within the band, and whether it ends there', () => {
  let held = 0;
  for (let seed = 1; seed <= COURSES / 2; seed++) {
    const { fill, targetPa, events } = course(seed, 40);
    const early = events.filter(isFill).find((each) => each.phase === 'settling' && (each.settling?.withinBandInS?.value ?? 0) > 0.5);
    if (!early?.settling?.withinBandInS) continue;
    const fromS = early.atNs / 1e9;
    let s = fromS;
    while (s < fromS + 60 && Math.abs(fillPa(fill, s) - targetPa) > FILL.bandPa) s += 0.01;
    expect(Math.abs(early.settling.withinBandInS.value - (s - fromS))).toBeLessThan(
      4 * early.settling.withinBandInS.standardUncertainty + 0.2,
    );
    held++;
  }
  expect(held).toBeGreaterThan(COURSES / 8);
}, 120_000);

test('events come at once on a change of phase and otherwise at most five a second; the same samples give the same events', () => {
  const { blocks, setup, events } = course(7, 30);
  expect(JSON.stringify(runWatches(blocks, setup).events)).toBe(JSON.stringify(events));
  const told = events.filter(isFill);
  const usual = told.filter(
    (event, i) => event.phase === told[i - 1]?.phase && Boolean(event.overshoot) === Boolean(told[i - 1]?.overshoot),
  );
  const perSecond = new Map<number, number>();
  for (const event of usual) perSecond.set(Math.floor(event.atNs / 1e9), (perSecond.get(Math.floor(event.atNs / 1e9)) ?? 0) + 1);
  expect(Math.max(...perSecond.values())).toBeLessThanOrEqual(5);
  expect(told.every((event) => event.words.length > 20 && !event.words.includes('NaN') && !event.words.includes('undefined'))).toBe(true);
});

test('a hold of hours stays within its bound and sees a smaller and smaller leak, down to the drift that it allows for', () => {
  const random = streamOf('hold', 1);
  const valueAt = (s: number) => sense({ random, noiseSi: 180 }, 2e6 - 5 * s, s);
  const seen: number[] = [];
  let state = runWatches(blocksOf({ channel: 'reservoirPressure', lengthS: 5, rateHz: 10, perBlock: 10, valueAt })).state;
  for (let hour = 0; hour < 3; hour++) {
    const fromS = 5 + hour * 3600;
    const run = runWatches(
      blocksOf({ channel: 'reservoirPressure', lengthS: 3600, rateHz: 2, perBlock: 20, fromS, valueAt }),
      SETUP,
      state,
    );
    state = run.state;
    const { hold } = run.events.filter(isFill).at(-1) ?? {};
    expect(hold).toBeDefined();
    if (!hold) return;
    expect(Math.abs(hold.leakPaPerS.value - 5)).toBeLessThan(4 * hold.leakPaPerS.standardUncertainty);
    seen.push(hold.smallestLeakSeenPaPerS);
    expect(state.fill.hold?.bins.length).toBeLessThanOrEqual(96);
    expect(JSON.stringify(state).length).toBeLessThan(60_000);
  }
  const floor = 3.29 * Math.hypot(RESERVOIR.driftSiPerS, (2e6 / FILL.wallTemperatureK) * FILL.wallDriftKPerS);
  expect(Math.min(...seen)).toBeGreaterThan(0.9 * floor);
  expect(seen.at(-1)).toBeLessThan(1.2 * floor);
});

test('a fill that goes on past its target is warned of before it is there, one that stops short never', () => {
  const fillTo = (endPa: number) => {
    const random = streamOf('over', endPa);
    const valueAt = (s: number) => sense({ random, noiseSi: 180 }, Math.min(endPa, 98e3 + 40e3 * Math.max(0, s - 2)), s);
    return runWatches(blocksOf({ channel: 'reservoirPressure', lengthS: 100, rateHz: 50, perBlock: 10, valueAt })).events.filter(isFill);
  };
  const far = fillTo(3.95e6);
  const target = far.find((event) => event.overshoot?.over === 'target');
  const maximum = far.find((event) => event.overshoot?.over === 'maximum');
  expect(maximum?.pressurePa.value).toBeLessThan(FILL.maximumPa);
  expect(maximum?.words).toContain('Shut the valve');
  expect(target?.pressurePa.value).toBeLessThan(4e6);
  expect(fillTo(2.2e6).filter((event) => event.overshoot)).toEqual([]);
});

test('a vent during the settling and one during the hold are falls; cooling alone is none', () => {
  for (const ventAfterS of [8, 35]) {
    const random = streamOf('vent', ventAfterS);
    const fill = { ...drawFill(random), hotPa: 120e3, tauS: 5, leakPaPerS: 0 };
    const ventAtS = fill.shutAtS + ventAfterS;
    const valueAt = (s: number) => {
      const before = fillPa(fill, Math.min(s, ventAtS));
      return sense({ random, noiseSi: 180 }, s < ventAtS ? before : 98e3 + (before - 98e3) * Math.exp(-(s - ventAtS) / 20), s);
    };
    const { events } = runWatches(blocksOf({ channel: 'reservoirPressure', lengthS: ventAtS + 10, rateHz: 100, perBlock: 10, valueAt }));
    const falling = events.filter(isFill).find((event) => event.phase === 'falling');
    expect((falling?.atNs ?? 0) / 1e9).toBeGreaterThan(ventAtS);
    expect((falling?.atNs ?? 0) / 1e9).toBeLessThan(ventAtS + 1.5);
  }
});

test('nothing comes of a channel that the rig does not have, of an empty block, or of an acknowledgement of nothing', () => {
  const { state } = course(3, 5);
  const at = { fromNs: 1e12, periodNs: 1e6, atNs: 1e12 };
  expect(takeSamples(state, SETUP, { ...at, channel: 'nobody', valuesSi: [1] })).toEqual([state, []]);
  expect(takeSamples(state, SETUP, { ...at, channel: 'reservoirPressure', valuesSi: [] })[1]).toEqual([]);
  expect(acknowledge(state, SETUP, { limitId: 'none', who: 'A. Crew', atNs: 1 })).toEqual([state, []]);
  expect(passTime(state, SETUP, state.health.reservoirPressure?.heardAtNs ?? 0)).toEqual([state, []]);
});
