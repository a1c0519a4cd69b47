/** A rig file that is no good YAML, or none at all: told at its place, and nothing of it unfolds. */
import { describe, expect, it } from 'vitest';
import { checkRig } from '../../host/cli/check/check.ts';
import { loadRig } from '../../host/rig/index.ts';
import { placeOf, problemsOf, swapped } from '../support/one-board-rig.ts';

describe('a file that is no good YAML', () => {
  it.each<[string, string, number, number, RegExp]>([
    [
      'a key twice',
      'rig: 1\nname: a\nname: b\n',
      3,
      1,
      /the key "name" stands twice in one group, in line 2 and again in line 3; remove one/,
    ],
    ['a tab', 'rig: 1\nbarrel:\n\tbore: 60 mm\n', 3, 1, /a tab is used to indent/],
    ['an open quote', 'rig: 1\nname: "Heron\n', 3, 1, /not valid YAML: Missing closing/],
    ['two documents', 'rig: 1\n---\nrig: 1\n', 2, 1, /a second document/],
    ['an unknown tag', 'rig: !!binary 1\n', 1, 6, /not valid YAML: Unresolved tag/],
    ['a list as a key', '? [a]\n: 1\n', 1, 3, /not valid YAML/],
    ['brackets without end', '['.repeat(100_000), 1, 1, /nested far too deeply/],
    ['lists in lists', '- '.repeat(100_000), 1, 1, /nested far too deeply/],
  ])('%s', (_what, text, line, column, message) => {
    const [problem, ...others] = problemsOf(text);
    expect(others).toEqual([]);
    expect(problem?.message).toMatch(message);
    if (!text.startsWith('[') && !text.startsWith('-')) expect(problem).toMatchObject({ line, column });
  });

  it('does not unfold an alias bomb', () => {
    const levels = 'abcdefghijklmnop'.split('');
    const text = levels
      .map(
        (name, i) =>
          `${name}: &${name} [${
            i === 0
              ? 'x'
              : Array(9)
                  .fill(`*${levels[i - 1]}`)
                  .join(', ')
          }]`,
      )
      .join('\n');
    expect(problemsOf(text)).toEqual([{ line: 0, column: 0, path: '', message: expect.stringMatching(/^heron\.yaml: an alias/) }]);
  });

  it('tells an alias to nowhere', () => {
    expect(problemsOf('rig: *one\n')).toEqual([{ line: 0, column: 0, path: '', message: expect.stringMatching(/an alias/) }]);
  });

  it('takes a sensible alias, and points at what it stands for', () => {
    const shared = swapped(
      'position: 2.5000 m ± 0.2 mm, delay: 0 us ± 0.2 us',
      'position: 2.5000 m ± 0.2 mm, delay: *delay',
      swapped('position: 1.5000 m ± 0.2 mm, delay: 0 us ± 0.2 us', 'position: 1.5000 m ± 0.2 mm, delay: &delay 0 us ± 0.2 us'),
    );
    expect(loadRig(shared, 'heron.yaml').ok).toBe(true);
  });

  it.each<[string, string, RegExp]>([
    ['an empty file', '', /^heron\.yaml is empty/],
    ['only a comment', '# nothing\n', /^heron\.yaml is empty/],
    ['a file that is too large', `# ${'x'.repeat(256 * 1024)}`, /^heron\.yaml has 262146 bytes, and at most 262144 are read/],
  ])('%s', (_what, text, message) => {
    expect(problemsOf(text)).toEqual([{ line: 0, column: 0, path: '', message: expect.stringMatching(message) }]);
    expect(checkRig(text, 'heron.yaml').lines).toEqual([expect.stringMatching(message)]);
  });

  it('is not fooled by names from the language', () => {
    for (const text of [
      swapped('site: Cold Sike', 'site: Cold Sike\n__proto__: { x: 1 }'),
      swapped('  gate-board:\n', '  __proto__: { path: 3 }\n  gate-board:\n'),
    ]) {
      expect(problemsOf(text)).toEqual([{ ...placeOf(text, '__proto__'), path: '', message: expect.stringMatching(/cannot be a key/) }]);
    }
    const board = swapped('trigger: { board: gate-board', 'trigger: { board: constructor');
    expect(problemsOf(board).map(({ path }) => path)).toEqual(['trigger.board']);
  });
});
