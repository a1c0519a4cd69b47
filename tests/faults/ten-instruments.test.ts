/** Ten instruments at once and a whole session over them, in small; at length it is `npm run check:instruments`. */
import { expect, test } from 'vitest';
import { timeAlarms } from '../support/instruments/alarms.ts';
import { CHANNELS, FLEET } from '../support/instruments/fleet.ts';
import { killEachInTurn } from '../support/instruments/kills.ts';
import { notReceived, underLoad } from '../support/instruments/load.ts';
import { Received } from '../support/instruments/received.ts';

const SEED = 7;

test('the counting finds a sample that is missing, comes late or comes twice', () => {
  const received = new Received(1024);
  for (let count = 0; count < 3000; count += 1) if (count !== 1500 && count !== 2600) received.add(count % 1024);
  expect(received.gaps).toEqual([
    [1500, 1501],
    [2600, 2601],
  ]);
  expect([received.count, received.missing(0, 3010), received.twice]).toEqual([2998, 12, 0]);
  expect(received.add(2600 % 1024)).toBe(2600);
  received.add(2999 % 1024);
  expect([received.count, received.missing(0, 3000), received.twice]).toEqual([2999, 1, 1]);
});

test('all at once: every sample is in the journal and none is handed on twice', { timeout: 60_000 }, async () => {
  const result = await underLoad({ seed: SEED, seconds: 2 });
  expect(result.counts.map(({ channel }) => channel)).toEqual(CHANNELS.map(({ name }) => name));
  for (const { received, lost, missedWhileDown } of result.counts) {
    expect(received.count).toBeGreaterThan(5);
    expect([lost, missedWhileDown]).toEqual([0, 0]);
  }
  expect(notReceived(result), `seed ${SEED}`).toBe(0);
  expect(result.twice, `seed ${SEED}`).toBe(0);
});

test('each link killed in turn: the others miss nothing, gate boards give afterwards what was missed, nothing stays open', {
  timeout: 120_000,
}, async () => {
  const { counts, twice, kills, warm, after, before, closed } = await killEachInTurn({ seed: SEED, rounds: 2, warmUpS: 0 });
  expect(kills).toBe(2 * FLEET.length);
  for (const { channel, board, lost, missedWhileDown } of counts) {
    expect(lost, `${channel}, seed ${SEED}`).toBe(0);
    if (board.startsWith('gates')) expect(missedWhileDown, `${channel}, seed ${SEED}`).toBe(0);
  }
  expect(twice, `seed ${SEED}`).toBe(0);
  expect(after.timers).toBeLessThanOrEqual(warm.timers);
  expect(after.listeners).toBeLessThanOrEqual(warm.listeners);
  expect([closed.timers, closed.handles]).toEqual([before.timers, before.handles]);
});

test('a page hears of each alarm of every kind of board', { timeout: 60_000 }, async () => {
  const { times, unheard } = await timeAlarms({ seed: SEED, seconds: 5 });
  expect(unheard).toBe(0);
  expect(new Set(times.map(({ kind }) => kind))).toEqual(new Set(FLEET.map(({ kind }) => kind)));
  expect(times.length).toBeGreaterThan(32);
});
