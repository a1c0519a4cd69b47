/** The last shots of the session, newest first, each in its newest state. */
import type { Shot } from '../../protocol/index.ts';

export const SHOTS_KEPT = 20;

export type RecentShots = readonly Shot[];

/** @returns the list with that shot in it, in place of its earlier state; the oldest goes beyond SHOTS_KEPT */
export function withShot(recent: RecentShots, shot: Shot): RecentShots {
  return [shot, ...recent.filter((other) => other.id !== shot.id)].sort((a, b) => b.firedAtNs - a.firedAtNs).slice(0, SHOTS_KEPT);
}

/** Traces are most of a shot's size; a list goes without. */
export function withoutTraces(shot: Shot): Shot {
  return { ...shot, traces: [] };
}
