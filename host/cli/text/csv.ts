/** Comma-separated values by RFC 4180, harmless in a spreadsheet. */

/** A number stays one; undefined is an empty cell. */
export type Cell = string | number | undefined;

export const csvLine = (cells: readonly Cell[]): string =>
  cells.map((cell) => (typeof cell === 'string' ? text(cell) : number(cell))).join(',');

const number = (value: number | undefined): string => (value === undefined || !Number.isFinite(value) ? '' : String(value));

/**
 * A spreadsheet runs as a formula what begins with one of these, their full-width forms too, and drops a tab or line end
 * before it. What is told as text gets an apostrophe before it, a name such as -1.2 among it; a column of numbers none.
 */
const RUN = /^[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]/;
/** Semicolons and tabs too: in some countries they part the cells. */
const PARTS = /[",;\t\r\n]/;

function text(told: string): string {
  const plain = RUN.test(told) ? `'${told}` : told;
  return PARTS.test(plain) ? `"${plain.replaceAll('"', '""')}"` : plain;
}
