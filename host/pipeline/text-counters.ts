/** What came of a text instrument's lines: how many, how fast, with what gaps, and which could not be read. */
import type { PipelineEvent, SessionNs } from '../../protocol/index.ts';
import { shownText } from './shown-text.ts';

/** Why a line, or a number in it, was not read. */
export type TextFault = 'too-long' | 'no-match' | 'not-a-number';

export interface TextCounters {
  readonly lines: number;
  /** Pauses longer than three typical intervals. */
  readonly gaps: number;
  readonly longestGapNs: number;
  readonly failures: Readonly<Partial<Record<TextFault, number>>>;
  readonly lastBad: { readonly atNs: SessionNs; readonly reason: TextFault; readonly text: string } | undefined;
  /** When they were last told as an event. */
  readonly toldAtNs: SessionNs;
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
  toldAtNs: Number.NEGATIVE_INFINITY,
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

/** @param line.atNs  not before the last call's; line.why  why it was not read, undefined where it was */
export function countLine(
  before: TextCounters = NO_LINES,
  { atNs, bytes, why }: { readonly atNs: SessionNs; readonly bytes: Uint8Array; readonly why: TextFault | undefined },
): TextCounters {
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
    ...(why === undefined ? {} : failed(before, atNs, bytes, why)),
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

function failed(before: TextCounters, atNs: SessionNs, bytes: Uint8Array, reason: TextFault) {
  return {
    failures: { ...before.failures, [reason]: (before.failures[reason] ?? 0) + 1 },
    lastBad: { atNs, reason, text: shownText(bytes) },
  };
}

/** Told so often at most. */
const TELL_NS = 1e9;

/** The counters as an event, where it is time for one. */
export function tellText(counters: TextCounters, source: string, atNs: SessionNs): readonly [TextCounters, readonly PipelineEvent[]] {
  if (atNs - counters.toldAtNs < TELL_NS) return [counters, []];
  const { lines, gaps, failures, lastBad } = counters;
  const told = { lines, linesPerS: linesPerS(counters, atNs), gaps, unread: failures, lastUnread: lastBad?.text ?? '' };
  return [{ ...counters, toldAtNs: atNs }, [{ type: 'text-lines', atNs, source, ...told }]];
}
