/** Where the gas that is in would settle if the valve were shut now, against fills of the simulated world's own gas. */
import { expect, test } from 'vitest';
import { NEW_WATCHES, type WatchSetup, type WatchState } from '../../host/pipeline/watches/index.ts';
import type { FillEvent } from '../../protocol/index.ts';
import { drawGasFill, type GasFill, type SeenFill, seenFill } from '../support/gas-fills.ts';
import { AMBIENT_PA, drawSensor, FILL, RESERVOIR, runWatches, SETUP, type Sensed, streamOf } from '../support/watch-courses.ts';

const FILLS = Number(process.env.WATCH_COURSES ?? 6);

interface Told {
  readonly filling: readonly FillEvent[];
  readonly seen: SeenFill;
  readonly state: WatchState;
}

function runFill(fill: GasFill, from: WatchState, options: { startS: number; startPa: number; sensor: Sensed; setup: WatchSetup }): Told {
  const seen = seenFill(options.sensor.random, fill, { ...options, setup: options.setup.fill ?? FILL });
  const { events, state } = runWatches(seen.blocks, options.setup, from);
  const filling = events.filter((event): event is FillEvent => event.type === 'fill' && event.phase === 'filling');
  return { filling: filling.filter(({ atNs }) => atNs / 1e9 < seen.shutAtS), seen, state };
}

/** One vessel, filled from empty, settled, and filled on further and at another speed. */
function twoFills(seed: number) {
  const random = streamOf('shut', seed);
  const first = {
    ...drawGasFill(random),
    settledPaGauge: random.between(0.6e6, 1.6e6),
    leakPerS: 1e-6,
    holdS: 60,
    fillS: random.between(20, 60),
  };
  const second = { ...first, settledPaGauge: first.settledPaGauge + random.between(0.6e6, 1.8e6), fillS: random.between(20, 60) };
  const targetPa = second.settledPaGauge + AMBIENT_PA;
  const setup = { ...SETUP, fill: { ...FILL, targetPa } };
  const sensor = drawSensor(random, RESERVOIR, targetPa, FILL.maximumPa, 90);
  const one = runFill(first, NEW_WATCHES, { startS: 0, startPa: AMBIENT_PA, sensor, setup });
  const startPa = one.seen.settledPa(one.seen.endS);
  const two = runFill(second, one.state, { startS: one.seen.endS, startPa, sensor, setup });
  return { one, two, targetPa };
}

/** Of the stretch once the fill is under way, and relative to the pressure. */
function judged({ filling, seen }: Told) {
  return filling.flatMap(({ settledIfShutPa: told, pressurePa, atNs }) => {
    if (!told) return [];
    const truth = seen.settledPa(atNs / 1e9);
    return [{ holds: Math.abs(told.value - truth) <= told.expandedUncertainty, width: told.expandedUncertainty / pressurePa.value, truth }];
  });
}

const share = (all: readonly { readonly holds: boolean }[]): number => all.filter(({ holds }) => holds).length / all.length;
const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

test('the settled pressure is within the told range, of a first fill and of the next, which is told far more closely', () => {
  const [first, second]: ReturnType<typeof judged>[] = [[], []];
  const late: number[] = [];
  for (let seed = 1; seed <= FILLS; seed++) {
    const { one, two, targetPa } = twoFills(seed);
    expect(one.filling.every(({ settledIfShutPa }) => settledIfShutPa)).toBe(true);
    first?.push(...judged(one));
    second?.push(...judged(two));
    // The time to the target runs to what settles there, not to the gauge: it is up as the valve is shut.
    const there = two.filling.find(({ timeToTargetS }) => timeToTargetS?.value === 0);
    const nearly = two.filling.findLast(({ timeToTargetS }) => (timeToTargetS?.value ?? 0) > 0);
    const left = nearly?.timeToTargetS;
    if (left) late.push((two.seen.shutAtS - nearly.atNs / 1e9 - left.value) / Math.max(1, left.expandedUncertainty));
    if (there) expect(two.seen.settledPa(there.atNs / 1e9)).toBeGreaterThan(targetPa - 60e3);
  }
  expect(share(first ?? [])).toBeGreaterThanOrEqual(0.94);
  expect(share(second ?? [])).toBeGreaterThanOrEqual(0.94);
  expect(mean((second ?? []).map(({ width }) => width))).toBeLessThan(0.5 * mean((first ?? []).map(({ width }) => width)));
  expect(late.length).toBeGreaterThan(0.8 * FILLS);
  expect(late.filter((by) => Math.abs(by) <= 1.5).length / late.length).toBeGreaterThanOrEqual(0.9);
}, 120_000);

test('the words give a range and say what it is of, without a number that is none', () => {
  const { one, two } = twoFills(3);
  for (const { words } of [...one.filling, ...two.filling]) {
    expect(words).toMatch(/settles to about \d+(\.\d+)? to \d+(\.\d+)? [Mk]Pa gauge if the valve is shut now/);
    expect(words).not.toMatch(/NaN|undefined|Infinity/);
  }
});
