import { expect, test } from 'vitest';
import { SEED } from '../support/seed.ts';
import { runSeed } from './run-seed.ts';

const FIRST = SEED;

// All that is reported of a run, and the hash of every byte of its journals.
test.each([0, 1, 2])(`seed ${FIRST} + %i gives the same journals twice, to the byte`, async (more) => {
  const first = await runSeed(FIRST + more);
  expect(await runSeed(FIRST + more)).toEqual(first);
  expect(first.records).toBeGreaterThan(100);
});
