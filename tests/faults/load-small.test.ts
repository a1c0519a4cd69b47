/** A host in its own process under viewers, in small; at length it is `npm run check:load`. */
import { expect, test } from 'vitest';
import { notReceived } from '../support/instruments/load.ts';
import { underViewers } from '../support/load/under-viewers.ts';

const SEED = 7;

test('every sample is in the journal, every shot at every healthy viewer, and it ends when asked', { timeout: 90_000 }, async () => {
  const result = await underViewers({ seed: SEED, seconds: 4, healthy: 12, slow: 1, vanishing: 3 });
  const { counts, viewers, shots, exitCode } = result;
  expect(notReceived(result), `seed ${SEED}`).toBe(0);
  expect(counts.reduce((sum, { lost }) => sum + lost, 0)).toBe(0);
  expect(shots.length).toBeGreaterThan(0);
  const healthy = viewers.filter(({ kind }) => kind === 'healthy');
  expect(healthy).toHaveLength(12);
  for (const { closed, missed, snapshots, connections } of healthy) {
    expect([...closed].sort((a, b) => a - b)).toEqual(shots.map((_, i) => i + 1));
    expect([missed, snapshots, connections]).toEqual([0, 1, 1]);
  }
  expect(exitCode).toBe(0);
});
