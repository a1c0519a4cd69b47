/** What is wrong with a quantity text, and where. */
export interface QuantityProblem {
  /** Of the offending piece in the text, UTF-16 units from 0. */
  readonly offset: number;
  readonly found: string;
  readonly expected: string;
  /** One plain sentence: what, and what to do. */
  readonly message: string;
}

export interface Refused {
  readonly ok: false;
  readonly problem: QuantityProblem;
}

export function refuse(piece: { readonly text: string; readonly offset: number }, expected: string, message: string): Refused {
  return { ok: false, problem: { offset: piece.offset, found: piece.text, expected, message } };
}
