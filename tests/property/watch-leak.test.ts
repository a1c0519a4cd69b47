/** The leak that is told of a vessel whose gas still cools, against the simulated world's gas. */
import { expect, test } from 'vitest';
import type { FillEvent, WatchEvent } from '../../protocol/index.ts';
import { drawGasFill, seenFill } from '../support/gas-fills.ts';
import { COURSES, FILL, runWatches, SETUP, streamOf } from '../support/watch-courses.ts';

const isAtRest = (event: WatchEvent): event is FillEvent =>
  event.type === 'fill' && (event.phase === 'settling' || event.phase === 'steady');

function settled(seed: number) {
  const random = streamOf('leak', seed);
  const fill = drawGasFill(random);
  const seen = seenFill(random, fill);
  const setup = { ...SETUP, fill: { ...FILL, targetPa: seen.settledPa(seen.shutAtS) } };
  return { fill, seen, told: runWatches(seen.blocks, setup).events.filter(isAtRest) };
}

test('at every moment that a leak is told its 95 % interval holds it, it is told by 1½ time constants, and without a break', () => {
  let moments = 0;
  let outside = 0;
  const late: number[] = [];
  const broken: number[] = [];
  for (let seed = 1; seed <= COURSES; seed++) {
    const { fill, seen, told } = settled(seed);
    const first = told.findIndex(({ hold }) => hold !== undefined);
    const firstS = (told[first]?.atNs ?? Number.POSITIVE_INFINITY) / 1e9 - seen.shutAtS;
    if (firstS > 1.5 * fill.wallS * Math.cbrt(seen.settledPa(seen.shutAtS) / 1.298e6) + 1) late.push(seed);
    for (const event of told.slice(Math.max(0, first))) {
      if (!event.hold) {
        if (broken.at(-1) !== seed) broken.push(seed);
        continue;
      }
      const { value, expandedUncertainty } = event.hold.leakPaPerS;
      moments++;
      if (Math.abs(value - fill.leakPerS * seen.settledPa(event.atNs / 1e9)) > expandedUncertainty) outside++;
    }
  }
  // Moments of one fill hang together: of 40 fills one may lie outside for half its time by chance.
  expect(outside / moments).toBeLessThan(0.05 + 0.5 / COURSES);
  expect(moments).toBeGreaterThan(100 * COURSES);
  expect([late, broken]).toEqual([[], []]);
}, 600_000);

test('in the first second of a settling there is no leak to be told, and the words say so', () => {
  for (let seed = 1; seed <= 5; seed++) {
    const { seen, told } = settled(seed);
    const early = told.filter(({ atNs }) => atNs / 1e9 < seen.shutAtS + 1);
    expect(early.length).toBeGreaterThan(1);
    expect(early.filter(({ hold }) => hold)).toEqual([]);
    expect(early.every(({ words }) => words.includes('oo early'))).toBe(true);
  }
});
