/** One mistake in a good rig file with instruments: one problem, at its line and column. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { loadRig, type RigProblem } from '../../host/rig/index.ts';

const GOOD = readFileSync(new URL('./instruments.yaml', import.meta.url), 'utf8');

/** @param at  as `from`: what stands once in the file; the place is that of `at` in the changed text */
export type Mistake = readonly [what: string, from: string, to: string, at: string, path: string, message: RegExp];

function problemsOf(text: string): readonly RigProblem[] {
  const load = loadRig(text, 'instruments.yaml');
  if (load.ok) throw new Error('the file was taken as good');
  return load.problems;
}

/** @param subject  what they are mistakes in */
export function testMistakes(subject: string, mistakes: readonly Mistake[]): void {
  describe(`one mistake in ${subject}, one problem, at its place`, () => {
    it.each(mistakes)('%s', (_what, from, to, at, path, message) => {
      if (GOOD.split(from).length !== 2) throw new Error(`"${from}" must stand once in the file`);
      const text = GOOD.replace(from, () => to);
      const before = text.slice(0, text.indexOf(at)).split('\n');
      if (!text.includes(at)) throw new Error(`no "${at}"`);
      const problems = problemsOf(text);
      expect(problems.map((problem) => problem.message)).toEqual([expect.stringMatching(message)]);
      expect(problems[0]).toMatchObject({ line: before.length, column: (before.at(-1) ?? '').length + 1, path });
    });
  });
}
