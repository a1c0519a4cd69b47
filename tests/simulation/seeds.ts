/**
 * Fifty seeds as tests, for a file of its own, so that two may run at once. A hundred are as many as the hardest to find of the
 * bugs that were put in on purpose needs (`docs/reliability.md`); thousands are for `npm run simulate`.
 */

import { expect, test } from 'vitest';
import { SEED } from '../support/seed.ts';
import { failureLines, Report } from './report.ts';
import { runSeed } from './run-seed.ts';

const FIRST = SEED;
const SEEDS = 50;
const IN_ONE_TEST = 10;
/** On a machine that is busy with much else too. */
const TIMEOUT_MS = 300_000;

/** @param fifty  0 for the first fifty from POSTERN_SEED on, 1 for the next */
export function testFiftySeeds(fifty: number): void {
  const from = FIRST + fifty * SEEDS;
  const report = new Report();
  test.each(Array.from({ length: SEEDS / IN_ONE_TEST }, (_, i) => from + i * IN_ONE_TEST))(
    `${IN_ONE_TEST} seeds from %i: no promise is broken`,
    async (first) => {
      const failed: string[] = [];
      for (let seed = first; seed < first + IN_ONE_TEST; seed++) {
        const result = await runSeed(seed);
        report.add(result);
        if (result.violations.length > 0) failed.push(...failureLines(result));
      }
      expect(failed.join('\n')).toBe('');
    },
    TIMEOUT_MS,
  );

  test('faults acted, and shots were measured that nothing is flagged at', () => {
    expect(report.kindsInjected).toBeGreaterThan(20);
    expect(report.unflagged).toBeGreaterThan(SEEDS / 5);
  });
}
