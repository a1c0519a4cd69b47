/**
 * Stamps of lines. UTC in nanoseconds does not fit a double, and a big integer for each sample costs more than the rest
 * of the line, so seconds and nanoseconds are kept apart.
 */
import type { SessionNs } from '../../../protocol/index.ts';

/** UTC of session time 0. */
export interface SessionOrigin {
  readonly seconds: number;
  /** 0 to 999 999 999. */
  readonly nanoseconds: number;
}

export const originOf = (utcNs: bigint): SessionOrigin => ({
  seconds: Number(utcNs / 1_000_000_000n),
  nanoseconds: Number(utcNs % 1_000_000_000n),
});

/** In UTC nanoseconds, or in whole UTC milliseconds. */
export type Resolution = 'ns' | 'ms';

/** @param atNs  session time, whole ns */
export function nsStamp({ seconds, nanoseconds }: SessionOrigin, atNs: SessionNs): string {
  const whole = nanoseconds + atNs;
  const over = Math.floor(whole / 1e9);
  return `${seconds + over}${String(whole - over * 1e9).padStart(9, '0')}`;
}

/** The UTC millisecond that a session time lies in: a safe integer. */
export const utcMsOf = ({ seconds, nanoseconds }: SessionOrigin, atNs: SessionNs): number =>
  seconds * 1000 + Math.floor((nanoseconds + atNs) / 1e6);
