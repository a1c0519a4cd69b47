/** What a section of `npm run bench` is: it yields what it found, row by row. */
import type { Row } from './table.ts';

export interface Size {
  /** A minute for all of them together; figures are then only told. */
  readonly isSmall: boolean;
  /** For files of its own, removed afterwards. */
  readonly folder: string;
}

/** Rows and ratios are what the bench is for; values stand behind them. */
export interface Found {
  readonly row: Row;
  /** By name, as `--json` has them. Of one run, so that they hold on any machine. */
  readonly ratios?: Readonly<Record<string, number>>;
  readonly values?: unknown;
  /** One drawing of `docs/performance.md`. */
  readonly plot?: Plot;
}

/** A cost over what it depends on. */
export interface Plot {
  /** Of the file, without its ending. */
  readonly name: string;
  readonly title: string;
  /** Left out: both by their decimal logarithms. */
  readonly axes?: 'straight';
  readonly x: { readonly label: string; readonly unit: string };
  readonly y: { readonly label: string; readonly unit: string };
  readonly lines: readonly { readonly name: string; readonly points: readonly (readonly [x: number, y: number])[] }[];
}

export type Section = (size: Size) => AsyncGenerator<Found>;
