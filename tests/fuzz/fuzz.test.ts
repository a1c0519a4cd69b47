/** Hostile input by the thousand, in short: `npm run fuzz -- --minutes N` goes on for as long as one likes. */
import { afterAll, describe, expect, it } from 'vitest';
import { SEED } from '../support/seed.ts';
import { corpusOf } from './corpus.ts';
import { runTarget } from './run-target.ts';
import { TARGETS } from './targets/index.ts';

const RUNS: Readonly<Record<string, number>> = { wire: 60, 'rig-file': 60, track: 60, journal: 80, live: 120, http: 100 };
/** A hang is for ever; whatever else a busy machine does to one input is none. */
const HANG_MS = 10_000;
const GROWTH_BYTES_MAX = 48 * 1024 * 1024;

describe.each(TARGETS)('$name', (target) => {
  afterAll(() => target.close?.());

  it('does no harm any more with what did once', async () => {
    for (const { file, did, input } of corpusOf(target.name)) {
      const begunMs = performance.now();
      await expect(Promise.resolve(input as never).then(target.feed), `${file}: ${did}`).resolves.toBeUndefined();
      expect(performance.now() - begunMs, `${file}: ${did}`).toBeLessThan(HANG_MS);
    }
  });

  it('neither falls, nor hangs, nor grows', async () => {
    const report = await runTarget(target, { seed: SEED, runs: RUNS[target.name] ?? 100 });
    expect(report.failure).toBeUndefined();
    expect(report.runs).toBe(RUNS[target.name]);
    expect(report.slowestMs, JSON.stringify(report.slowest)).toBeLessThan(HANG_MS);
    const [warm, end] = report.heapBytes;
    expect(end - warm).toBeLessThan(GROWTH_BYTES_MAX);
  });
});
