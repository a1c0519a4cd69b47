import { expect, test } from 'vitest';
import { failureLines, Report } from './report.ts';
import { runSeed } from './run-seed.ts';

const FIRST = Number(process.env.POSTERN_SEED ?? 1);
const SEEDS = 100;
const IN_ONE_TEST = 20;

test.each(Array.from({ length: SEEDS / IN_ONE_TEST }, (_, i) => FIRST + i * IN_ONE_TEST))(
  'seeds from %i: no promise is broken',
  async (from) => {
    const report = new Report();
    for (let seed = from; seed < from + IN_ONE_TEST; seed++) report.add(await runSeed(seed));
    expect(report.failed.flatMap(failureLines).join('\n')).toBe('');
    expect(report.lines().join('\n')).toContain(`seeds ${IN_ONE_TEST}`);
  },
);

test('the same seed gives the same journals, to the byte', async () => {
  for (const seed of [2, 5, 8]) {
    const [first, again] = [await runSeed(seed), await runSeed(seed)];
    expect(again).toEqual(first);
  }
});
