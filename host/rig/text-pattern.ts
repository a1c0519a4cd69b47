/**
 * Patterns for the lines of text instruments.
 *
 * Lines are whatever a device on a wire likes to send, and JavaScript's own expressions may take for ever over a hostile
 * one: `(a+)+`, but also `a*a*a*b`. RE2's never do: time grows with the line's length alone. They know neither
 * look-around nor back-references, which a line of readings has no need of.
 */
import { RE2JS, RE2JSException, type RE2JSException as Re2Problem } from 're2js';

export const PATTERN_CHARACTERS_MAX = 400;
export const PATTERN_GROUPS_MAX = 64;
/** Time goes with steps times letters; a date, a time and three numbers are 52. */
const PATTERN_STEPS_MAX = 1000;

export interface LinePattern {
  readonly groups: readonly string[];
  /** Text of each named group that took part; undefined where the line does not have the pattern. */
  readonly find: (line: string) => ReadonlyMap<string, string> | undefined;
}

export type PatternRead = { readonly ok: true; readonly pattern: LinePattern } | { readonly ok: false; readonly why: string };

/** @param text  at most 400 characters */
export function compilePattern(text: string): PatternRead {
  try {
    const compiled = RE2JS.compile(text);
    const steps = compiled.programSize();
    if (steps > PATTERN_STEPS_MAX)
      return { ok: false, why: `it has ${steps} steps, and at most ${PATTERN_STEPS_MAX} may be; repeat less in it` };
    return { ok: true, pattern: linePattern(compiled) };
  } catch (error) {
    if (!(error instanceof RE2JSException)) throw error;
    return { ok: false, why: plain(error) };
  }
}

function linePattern(compiled: RE2JS): LinePattern {
  const groups = Object.keys(compiled.namedGroups());
  const find: LinePattern['find'] = (line) => {
    const matcher = compiled.matcher(line);
    if (!matcher.find()) return undefined;
    const found = new Map<string, string>();
    for (const name of groups) {
      const piece = matcher.group(name);
      if (piece !== null) found.set(name, piece);
    }
    return found;
  };
  return { groups, find };
}

function plain(error: Re2Problem): string {
  if (/\(\?(<?[=!])/.test(error.message)) return 'looks ahead or behind, which is not known here';
  return error.message.replace(/^error parsing regexp: /, '').replaceAll('`', '"');
}
