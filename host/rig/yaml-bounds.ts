/**
 * How much and how deep a YAML text is, found out without building anything of it. What builds it calls itself at each
 * level and compares each key with every other of its group: a hostile file of 256 KiB would end the process for want of
 * stack, or keep it busy for a minute.
 */
import { Lexer, Parser } from 'yaml';

/** Keys, values, and the signs and spaces between them; a rig of 64 gates and 64 channels has a tenth. */
const PARTS_MAX = 40_000;
/** A rig file needs six levels. */
const LEVELS_MAX = 60;

/** @returns undefined where it is within bounds, else what is wrong, as a sentence without its full stop */
export function beyondBounds(text: string): string | undefined {
  const parser = new Parser();
  let parts = 0;
  for (const piece of new Lexer().lex(text)) {
    parts += 1;
    if (parts > PARTS_MAX) return `more than ${PARTS_MAX} keys, values and signs stand in it; is it a rig file?`;
    // What it yields is of no use here; what it has not closed yet is the depth.
    for (const _ of parser.next(piece));
    if (parser.stack.length > LEVELS_MAX) return 'lists or groups are nested far too deeply; is it a rig file?';
  }
  return undefined;
}
