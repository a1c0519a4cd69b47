/** Reads a quantity text from left to right. Offsets count UTF-16 units from 0, as JavaScript's strings do. */

const SPACE = /\s*/y;
// A leading + is left to the ± that may stand there.
const NUMBER = /[-\u2212]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?/y;
const WORD = /%|[\p{L}°℃℉][\p{L}\p{N}°·*/^²³₂]*(?:-lbf)?/uy;
const PLUS_MINUS = /±|\+\/-|\+[-\u2212]/y;
const EQUALS = /=/y;
const PIECE = /\S+/y;

export interface Piece {
  readonly text: string;
  readonly offset: number;
}

/** Each reader takes its piece where it stands next, spaces before it skipped, or takes nothing and gives undefined. */
export interface Scanner {
  readonly text: string;
  number(): Piece | undefined;
  word(): Piece | undefined;
  plusMinus(): Piece | undefined;
  equals(): Piece | undefined;
  keyword(...words: readonly string[]): Piece | undefined;
  /** What stands next up to a space, without taking it; empty text at the end. */
  ahead(): Piece;
}

export function scanText(text: string): Scanner {
  let at = 0;

  function take(pattern: RegExp): Piece | undefined {
    SPACE.lastIndex = at;
    SPACE.exec(text);
    const offset = SPACE.lastIndex;
    pattern.lastIndex = offset;
    const found = pattern.exec(text);
    if (found === null) return undefined;
    at = pattern.lastIndex;
    return { text: found[0], offset };
  }

  function undoUnless(wanted: (piece: Piece) => boolean, pattern: RegExp): Piece | undefined {
    const before = at;
    const piece = take(pattern);
    if (piece !== undefined && wanted(piece)) return piece;
    at = before;
    return undefined;
  }

  return {
    text,
    number: () => take(NUMBER),
    word: () => take(WORD),
    plusMinus: () => take(PLUS_MINUS),
    equals: () => take(EQUALS),
    keyword: (...words) => undoUnless((piece) => words.includes(piece.text), WORD),
    ahead: () => {
      const before = at;
      const piece = take(PIECE) ?? { text: '', offset: text.length };
      at = before;
      return piece;
    },
  };
}

/** @returns NaN where the number is too large for a double */
export function numberOf(piece: Piece): number {
  const value = Number(piece.text.replaceAll('\u2212', '-'));
  return Number.isFinite(value) ? value : Number.NaN;
}
