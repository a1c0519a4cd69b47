/** A line of a text instrument, to the numbers in it. */
import type { TextLayout } from './board-setup.ts';
import { compilePattern } from './text-pattern.ts';

/** Longer lines are not looked into. */
export const TEXT_LINE_BYTES_MAX = 1024;

/** Put before what is no whole line by the link (CONTINUED). */
const PIECE_MARK = 0x80;

export type TextLine =
  | {
      readonly ok: true;
      /** By the name of the group or column. */
      readonly values: Readonly<Record<string, number>>;
      /** Names whose text is there and is no number: `----`, `OL`. */
      readonly unreadable: readonly string[];
    }
  | { readonly ok: false; readonly why: 'too-long' | 'no-match' };

export type TextReader = (bytes: Uint8Array) => TextLine;

/** Made once a layout, so that a line costs no compiling. Goes with the rig that it is of. */
const MADE = new WeakMap<TextLayout, TextReader>();

/**
 * The same layout gives the same reader, so it may be asked for with each line.
 * @param layout  from a checked rig
 * @throws Error for a pattern that does not compile (caller's bug)
 */
export function textReader(layout: TextLayout): TextReader {
  const made = MADE.get(layout) ?? makeReader(layout);
  MADE.set(layout, made);
  return made;
}

function makeReader(layout: TextLayout): TextReader {
  const split = layout.by === 'pattern' ? byPattern(layout.pattern) : byColumns(layout);
  return (bytes) => {
    if (bytes.length > TEXT_LINE_BYTES_MAX) return { ok: false, why: 'too-long' };
    // A piece of an overlong line, or one that the cable cut off: no text in UTF-8 begins so, and a number in it may be half.
    if (bytes[0] === PIECE_MARK) return { ok: false, why: 'no-match' };
    const pieces = split(decoded(bytes));
    return pieces === undefined ? { ok: false, why: 'no-match' } : numbersOf(pieces);
  };
}

type Split = (line: string) => ReadonlyMap<string, string> | undefined;

function byPattern(text: string): Split {
  const compiled = compilePattern(text);
  if (!compiled.ok) throw new Error(`the pattern ${text} ${compiled.why}`);
  return compiled.pattern.find;
}

/**
 * A line with another number of columns is another line, or a torn one: what stands where cannot be known then.
 * Of spaces any number separate, for they are used to line columns up.
 */
function byColumns({ columns, separator }: Extract<TextLayout, { by: 'columns' }>): Split {
  return (line) => {
    const pieces = separator === ' ' ? line.trim().split(/ +/) : line.split(separator);
    if (pieces.length !== columns.length) return undefined;
    return new Map(columns.flatMap((name, i) => (name === undefined ? [] : [[name, pieces[i] ?? ''] as const])));
  };
}

const NUMBER = /^[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?$/;

function numbersOf(pieces: ReadonlyMap<string, string>): TextLine {
  const values: Record<string, number> = {};
  const unreadable: string[] = [];
  for (const [name, piece] of pieces) {
    const text = piece.trim().replaceAll('\u2212', '-');
    const value = NUMBER.test(text) ? Number(text) : Number.NaN;
    if (Number.isFinite(value)) values[name] = value;
    else unreadable.push(name);
  }
  return { ok: true, values, unreadable };
}

const UTF8 = new TextDecoder('utf-8', { fatal: true });
const LATIN = new TextDecoder('latin1');

/** UTF-8, or else Latin-1, in which older instruments write ° and µ. Without the CR that many end their lines with. */
function decoded(bytes: Uint8Array): string {
  const line = bytes.at(-1) === 0x0d ? bytes.subarray(0, -1) : bytes;
  try {
    return UTF8.decode(line);
  } catch {
    return LATIN.decode(line);
  }
}
