/** A problem quotes what stands in the file, which may be a quarter of a megabyte; a sentence is read by a person. */
import type { RigProblem } from './rig.ts';

const QUOTED_CHARACTERS_MAX = 60;
const STEP_CHARACTERS_MAX = 40;
const MESSAGE_CHARACTERS_MAX = 1_000;

export function shortProblem({ line, column, path, message }: RigProblem): RigProblem {
  const quoted = message.replace(/"([^"]*)"/gu, (whole, text: string) =>
    text.length > QUOTED_CHARACTERS_MAX ? `"${cut(text, QUOTED_CHARACTERS_MAX)}"` : whole,
  );
  const steps = path.split('.').map((step) => cut(step, STEP_CHARACTERS_MAX));
  return { line, column, path: cut(steps.join('.'), 4 * STEP_CHARACTERS_MAX), message: cut(quoted, MESSAGE_CHARACTERS_MAX) };
}

/** Never through a character of two halves. */
const cut = (text: string, charactersMax: number): string =>
  text.length > charactersMax ? `${text.slice(0, charactersMax - 1).replace(/[\ud800-\udbff]$/, '')}…` : text;
