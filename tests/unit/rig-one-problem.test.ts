/** A board's name that is misspelt anywhere in a rig file is one problem, whatever hangs on that board. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { loadRig } from '../../host/rig/index.ts';

const FILES = ['../../firmware-sim/heron.yaml', '../support/instruments.yaml', '../support/one-board.yaml'];

describe.each(FILES)('%s', (name) => {
  const text = readFileSync(new URL(name, import.meta.url), 'utf8');
  const uses = [...text.matchAll(/board: ([\w-]+)/g)];

  it.each(uses.map((use) => [text.slice(0, use.index).split('\n').length, use] as const))('line %i', (line, { index, 0: written }) => {
    for (const other of [`${written}x`, 'board: zebra']) {
      const load = loadRig(text.slice(0, index) + other + text.slice(index + written.length), 'rig.yaml');
      if (load.ok) throw new Error('a board that nobody describes was taken');
      expect(load.problems.map((problem) => `${problem.line} ${problem.message}`)).toEqual([
        expect.stringMatching(new RegExp(`^${line} no board "${other.slice('board: '.length)}" is described under boards`)),
      ]);
    }
  });

  it('the board described under another name', () => {
    const boards = [...new Set(uses.map(([, board]) => board))].filter((board) => text.includes(`\n  ${board}:\n`));
    expect(boards).not.toEqual([]);
    for (const board of boards) {
      const load = loadRig(text.replace(`\n  ${board}:\n`, '\n  westward:\n'), 'rig.yaml');
      expect(load.ok ? [] : load.problems.map(({ message }) => message)).toEqual([expect.stringContaining(`no board "${board}"`)]);
    }
  });
});
