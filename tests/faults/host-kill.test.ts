/** `kill -9` of a real host on a real pseudo-terminal; `npm run check:recording` does it a hundred times. */
import { afterEach, beforeEach, expect, test } from 'vitest';
import { scratchFolder } from '../support/command.ts';
import { killHosts } from '../support/recording/kill-hosts.ts';
import { SEED } from '../support/seed.ts';
import { randomFrom } from './journal-samples.ts';

let scratch: ReturnType<typeof scratchFolder>;
beforeEach(() => {
  scratch = scratchFolder();
});
afterEach(() => scratch.remove());

test('nothing acknowledged, shown or fired is lost, and no firing is told twice as if it were new', { timeout: 240_000 }, async () => {
  const seed = SEED;
  const found = await killHosts({ folder: scratch.path, seed, kills: 2, random: randomFrom(seed) });
  expect(found).toMatchObject({ acknowledgedLost: [], unexplained: [], unopened: [], split: [], toldTwice: [] });
  expect(found.edgesAcknowledged).toBeGreaterThan(0);
  expect(found.eventsSeen).toBeGreaterThan(0);
  expect(found.firings).toBeGreaterThan(0);
});
