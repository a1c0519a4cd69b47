/** The marks that are said aloud: each once on the way through, however the needle trembles. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decadeMarks, evenMarks, type Marks, passedMark } from '../../dashboards/src/text/passed-mark.ts';

const told = (marks: Marks, course: readonly number[]): readonly number[] => {
  let last: number | undefined;
  const said: number[] = [];
  for (const value of course) {
    const { mark, isNew } = passedMark(marks, last, value);
    last = mark;
    if (isNew) said.push(Number(marks.valueOf(mark).toPrecision(12)));
  }
  return said;
};

const steps = (from: number, to: number, n: number) => Array.from({ length: n + 1 }, (_, i) => from + ((to - from) * i) / n);

describe.each([
  ['even marks', evenMarks(0.5e6), 0.1e6, 3.9e6],
  ['marks of a decade', decadeMarks, 120, 1.1e5],
] as const)('%s', (_, marks, low, high) => {
  it('are told once each on the way up, and once each on the way down again', () => {
    const up = told(marks, steps(low, high, 5_000));
    const all = Array.from({ length: marks.below(high) - marks.below(low) }, (__, i) =>
      Number(marks.valueOf(marks.below(low) + 1 + i).toPrecision(12)),
    );
    expect(up).toEqual(all);
    // The highest was told on the way up.
    const both = told(marks, [...steps(low, high, 5_000), ...steps(high, low, 5_000)]);
    expect(both).toEqual([...all, ...all.toReversed().slice(1)]);
  });

  it('are told no second time by a needle that trembles less than a mark', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 1, maxLength: 200 }), (noise) => {
        const mark = marks.below((low + high) / 2);
        const value = marks.valueOf(mark);
        const tremble = 0.4 * Math.min(marks.valueOf(mark + 1) - value, value - marks.valueOf(mark - 1));
        const course = [low, ...noise.map((share) => value + share * tremble)];
        expect(told(marks, course).filter((each) => Math.abs(each - value) < 1e-6 * value).length).toBeLessThanOrEqual(1);
      }),
    );
  });
});

it('takes a vessel that stands open, at or below nothing, without a mark', () => {
  expect(told(decadeMarks, [0, -5, 0, Number.NaN, 3, 12])).toEqual([10]);
  expect(told(evenMarks(10), [0, -1, 2, -3])).toEqual([]);
});
