import { hostNs } from '../metrology/index.ts';
import type { Rig } from '../rig/index.ts';
import type { BoardState, PipelineState } from './state.ts';

export interface BoardTicks {
  readonly board: string;
  readonly ticks: number;
}

/** From one board's tick to another's, s; Infinity where two boards have no common time yet. */
export function secondsBetween(state: PipelineState, rig: Rig, from: BoardTicks, to: BoardTicks): number {
  if (from.board === to.board) return ((to.ticks - from.ticks) * nsPerTick(state.boards[from.board], rig, from.board)) / 1e9;
  const clock = state.boards[from.board]?.clock;
  const other = state.boards[to.board]?.clock;
  return clock && other ? (hostNs(other, to.ticks) - hostNs(clock, from.ticks)) / 1e9 : Number.POSITIVE_INFINITY;
}

/** As fitted, or as the rig file claims. */
export function nsPerTick(board: BoardState | undefined, rig: Rig, name: string): number {
  const nominalHz = rig.boards.find((setup) => setup.name === name)?.tickRateHz.value ?? Number.NaN;
  return board?.clock?.nsPerTick ?? 1e9 / nominalHz;
}

/** Host time of a tick, whole ns; the arrival where the board's clock has not been fitted. */
export const firedNsOf = (board: BoardState | undefined, ticks: number, arrivedAtNs: number): number =>
  board?.clock ? Math.round(hostNs(board.clock, ticks)) : arrivedAtNs;

/** ISO 8601 with microseconds, from the newest anchor; session time 0 is 1970 where there is none yet. */
export function utcText(anchor: PipelineState['utc'], atNs: number): string {
  const us = anchor ? anchor.utcUs + Math.round((atNs - anchor.atNs) / 1000) : Math.round(atNs / 1000);
  const seconds = Math.floor(us / 1e6);
  return `${new Date(seconds * 1000).toISOString().slice(0, 19)}.${String(us - seconds * 1e6).padStart(6, '0')}Z`;
}
