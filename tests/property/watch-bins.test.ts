/** The watches' bins over streams as boards send them: in blocks timed by the board, or alone and late by now more, now less. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type Bin, binSamples, middleNs, NO_BINS } from '../../host/pipeline/watches/bins.ts';

const WIDTH_NS = 0.1e9;

interface Piece {
  readonly fromNs: number;
  readonly periodNs: number;
  readonly valuesSi: readonly number[];
}

function binned(pieces: readonly Piece[]): readonly Bin[] {
  let binning = NO_BINS;
  const bins: Bin[] = [];
  for (const piece of pieces) {
    const [next, done] = binSamples(binning, { channel: 'p', atNs: piece.fromNs, ...piece }, WIDTH_NS);
    binning = next;
    bins.push(...done);
  }
  return bins;
}

/** Each stands for the time since the one before, as samples that are timed by their arrival do. */
const alone = (timesNs: readonly number[], value: (ns: number) => number): readonly Piece[] =>
  timesNs.map((atNs, i) => ({ fromNs: atNs, periodNs: i === 0 ? 1e6 : atNs - (timesNs[i - 1] as number), valuesSi: [value(atNs)] }));

const lateness = fc.array(fc.double({ min: 0, max: 0.6, noNaN: true }), { minLength: 200, maxLength: 200 });

describe('samples that come alone, each late by up to six tenths of their period', () => {
  test('are all in bins, and lie on the line that they were taken from', () => {
    fc.assert(
      fc.property(lateness, fc.constantFrom(5e6, 20e6, 50e6, 200e6), (late, periodNs) => {
        const times = late.map((share, i) => Math.round((i + share) * periodNs));
        const bins = binned(alone(times, (ns) => ns / 1e9));
        const counted = bins.reduce((sum, { count }) => sum + count, 0);
        // But for those of the last bin.
        expect(counted).toBeGreaterThanOrEqual(200 - Math.ceil(WIDTH_NS / periodNs) - 2);
        for (const bin of bins.slice(4)) expect(Math.abs(bin.mean - middleNs(bin) / 1e9)).toBeLessThan((0.7 * periodNs + 1e6) / 1e9);
      }),
    );
  });

  test('after a real gap begin anew', () => {
    fc.assert(
      fc.property(lateness, fc.integer({ min: 20, max: 180 }), (late, at) => {
        const times = late.map((share, i) => Math.round((i + share + (i >= at ? 10 : 0)) * 50e6));
        const inTheGap = (times[at] as number) - 5 * 50e6;
        for (const bin of binned(alone(times, () => 1))) expect(bin.fromNs < inTheGap).toBe(bin.toNs < inTheGap);
      }),
    );
  });
});

test('blocks give the same bins however they are cut, and sent twice count once', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 2, max: 40 }), { minLength: 5, maxLength: 30 }), fc.boolean(), (cuts, twice) => {
      const periodNs = 1e6;
      const values = Array.from({ length: cuts.reduce((sum, cut) => sum + cut, 0) }, (_, i) => Math.sin(i / 7));
      let from = 0;
      const pieces = cuts.flatMap((cut) => {
        const piece = { fromNs: from * periodNs, periodNs, valuesSi: values.slice(from, from + cut) };
        from += cut;
        return twice ? [piece, piece] : [piece];
      });
      const whole = binned([{ fromNs: 0, periodNs, valuesSi: values }]);
      expect(binned(pieces)).toEqual(whole);
      expect(whole.every(({ count }) => count === 100)).toBe(true);
    }),
  );
});
