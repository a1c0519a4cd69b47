/** A text instrument's line to named numbers, by the rig file's pattern or columns; and the counting of what came. */
import type { SessionNs } from '../../protocol/index.ts';
import { shownText, utf8 } from './shown-text.ts';

/** A group or column gives a number under its name; the column `-` is passed over. */
export type TextFormat = { readonly pattern: RegExp } | { readonly columns: readonly string[]; readonly separator: string };

export type TextFault = 'too-long' | 'not-text' | 'no-match' | 'too-few-columns' | 'not-a-number';

export type ReadLine =
  | { readonly ok: true; readonly values: Readonly<Record<string, number>> }
  | { readonly ok: false; readonly reason: TextFault; readonly detail: string };

/** No instrument's line comes near it; it bounds what a pattern has to search. */
export const TEXT_LINE_BYTES_MAX = 512;
const SKIPPED = '-';
/** Decimal digits with a point; not what else JavaScript takes for a number, such as 0x10, Infinity or nothing at all. */
const NUMBER = /^[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d{1,3})?$/;

/** @param bytes  without the line's ending */
export function readTextLine(format: TextFormat, bytes: Uint8Array): ReadLine {
  if (bytes.length > TEXT_LINE_BYTES_MAX) return bad('too-long', `more than ${TEXT_LINE_BYTES_MAX} bytes`);
  const text = utf8(bytes);
  if (text === undefined) return bad('not-text', 'neither ASCII nor UTF-8; check the baud rate');
  return 'pattern' in format ? byPattern(format.pattern, text) : byColumns(format.columns, format.separator, text);
}

function byPattern(pattern: RegExp, text: string): ReadLine {
  // A pattern with the flag g or y would go on where it stopped in the line before.
  pattern.lastIndex = 0;
  const groups = pattern.exec(text)?.groups;
  // A group in an alternative that did not match gives no value.
  const found = Object.entries(groups ?? {}).filter(([, value]) => value !== undefined);
  return found.length === 0 ? bad('no-match', 'the pattern does not match') : asNumbers(found);
}

function byColumns(columns: readonly string[], separator: string, text: string): ReadLine {
  const parts = text.split(separator);
  if (parts.length < columns.length) return bad('too-few-columns', `${parts.length} of ${columns.length} columns`);
  return asNumbers(columns.map((name, i): [string, string] => [name, parts[i] ?? '']).filter(([name]) => name !== SKIPPED));
}

/** One that is no number spoils its line: the others may be shifted or cut. */
function asNumbers(found: readonly (readonly [string, string])[]): ReadLine {
  const wrong = found.find(([, text]) => !NUMBER.test(text.trim()) || !Number.isFinite(Number(text)));
  if (wrong) return bad('not-a-number', `${wrong[0]} is "${shownText(Buffer.from(wrong[1]))}"`);
  return { ok: true, values: Object.fromEntries(found.map(([name, text]) => [name, Number(text)])) };
}

const bad = (reason: TextFault, detail: string): ReadLine => ({ ok: false, reason, detail });

export interface TextCounters {
  readonly lines: number;
  /** Pauses longer than three typical intervals. */
  readonly gaps: number;
  readonly longestGapNs: number;
  readonly failures: Readonly<Partial<Record<TextFault, number>>>;
  readonly lastBad: { readonly atNs: SessionNs; readonly reason: TextFault; readonly detail: string; readonly text: string } | undefined;
  readonly firstAtNs: SessionNs | undefined;
  readonly lastAtNs: SessionNs | undefined;
  /** Between the newest lines, at most INTERVALS_MAX. */
  readonly intervalsNs: readonly number[];
  /** Lines in each of the newest seconds that had any, at most RATE_SECONDS + 1. */
  readonly seconds: readonly { readonly second: number; readonly lines: number }[];
}

export const NO_LINES: TextCounters = {
  lines: 0,
  gaps: 0,
  longestGapNs: 0,
  failures: {},
  lastBad: undefined,
  firstAtNs: undefined,
  lastAtNs: undefined,
  intervalsNs: [],
  seconds: [],
};

const INTERVALS_MAX = 16;
/** Before so many intervals nobody knows what is typical. */
const INTERVALS_MIN = 5;
const GAP_INTERVALS = 3;
const RATE_SECONDS = 10;

/** @param atNs  not before the last call's */
export function countLine(before: TextCounters, atNs: SessionNs, bytes: Uint8Array, read: ReadLine): TextCounters {
  const interval = before.lastAtNs === undefined ? undefined : atNs - before.lastAtNs;
  const typical = typicalIntervalNs(before);
  const isGap = interval !== undefined && typical !== undefined && interval > GAP_INTERVALS * typical;
  return {
    ...before,
    lines: before.lines + 1,
    gaps: before.gaps + (isGap ? 1 : 0),
    longestGapNs: isGap ? Math.max(before.longestGapNs, interval) : before.longestGapNs,
    firstAtNs: before.firstAtNs ?? atNs,
    lastAtNs: atNs,
    intervalsNs: interval === undefined ? [] : [...before.intervalsNs, interval].slice(-INTERVALS_MAX),
    seconds: withLine(before.seconds, Math.floor(atNs / 1e9)),
    ...(read.ok ? {} : failed(before, atNs, bytes, read)),
  };
}

/**
 * High among the newest, not their middle: an instrument that prints three lines at once has mostly intervals of
 * nothing, and its pause between is what is typical of it. One gap among sixteen does not move it.
 */
export function typicalIntervalNs({ intervalsNs }: TextCounters): number | undefined {
  if (intervalsNs.length < INTERVALS_MIN) return undefined;
  return [...intervalsNs].sort((a, b) => a - b)[Math.floor(0.8 * intervalsNs.length)];
}

/** Lines a second over the last ten whole seconds, or over all of them since the first line. */
export function linesPerS({ seconds, firstAtNs }: TextCounters, atNs: SessionNs): number {
  if (firstAtNs === undefined) return 0;
  const now = Math.floor(atNs / 1e9);
  const from = Math.max(now - RATE_SECONDS, Math.floor(firstAtNs / 1e9));
  const lines = seconds.filter(({ second }) => second >= from && second < now).reduce((sum, entry) => sum + entry.lines, 0);
  return now > from ? lines / (now - from) : 0;
}

function withLine(seconds: TextCounters['seconds'], second: number): TextCounters['seconds'] {
  const last = seconds.at(-1);
  if (last?.second === second) return [...seconds.slice(0, -1), { second, lines: last.lines + 1 }];
  return [...seconds.slice(-RATE_SECONDS), { second, lines: 1 }];
}

function failed(before: TextCounters, atNs: SessionNs, bytes: Uint8Array, { reason, detail }: ReadLine & { readonly ok: false }) {
  return {
    failures: { ...before.failures, [reason]: (before.failures[reason] ?? 0) + 1 },
    lastBad: { atNs, reason, detail, text: shownText(bytes) },
  };
}
