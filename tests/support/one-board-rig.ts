/** A small rig file of one board, with something in it changed, and what the loader says to it. */
import { readFileSync } from 'node:fs';
import { loadRig, type RigProblem } from '../../host/rig/index.ts';

export const ONE_BOARD = readFileSync(new URL('./one-board.yaml', import.meta.url), 'utf8');

export function swapped(from: string, to: string, text = ONE_BOARD): string {
  if (text.split(from).length !== 2) throw new Error(`"${from}" must stand once in the file`);
  return text.replace(from, () => to);
}

export function problemsOf(text: string): readonly RigProblem[] {
  const load = loadRig(text, 'heron.yaml');
  if (load.ok) throw new Error('the file was taken as good');
  return load.problems;
}

/** 1-based, found by looking and not by the parser under test. */
export function placeOf(text: string, needle: string): { line: number; column: number } {
  const offset = text.indexOf(needle);
  if (offset < 0) throw new Error(`no "${needle}"`);
  const before = text.slice(0, offset).split('\n');
  return { line: before.length, column: (before.at(-1) ?? '').length + 1 };
}
