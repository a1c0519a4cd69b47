import { type ClockFit, hostNs } from '../metrology/index.ts';
import { gateBoard, type Rig } from '../rig/index.ts';
import type { BoardState, PipelineState } from './state.ts';

export interface BoardTicks {
  readonly board: string;
  /** Of the start that the ticks count from; undefined: the board's present one. */
  readonly bootId?: number;
  readonly ticks: number;
}

/** From one board's tick to another's, s; Infinity where they have no common time: a board not fitted yet, or started anew between. */
export function secondsBetween(state: PipelineState, rig: Rig, from: BoardTicks, to: BoardTicks): number {
  const present = (at: BoardTicks) => at.bootId ?? boardOf(state, at.board)?.sequence.bootId;
  if (from.board === to.board && present(from) !== present(to)) return Number.POSITIVE_INFINITY;
  if (from.board === to.board) return ((to.ticks - from.ticks) * nsPerTick(boardOf(state, from.board), rig, from.board)) / 1e9;
  if ([from, to].some((at) => present(at) !== boardOf(state, at.board)?.sequence.bootId)) return Number.POSITIVE_INFINITY;
  const clock = boardOf(state, from.board)?.clock;
  const other = boardOf(state, to.board)?.clock;
  return clock && other ? (hostNs(other, to.ticks) - hostNs(clock, from.ticks)) / 1e9 : Number.POSITIVE_INFINITY;
}

/** A board may be called anything, `constructor` too. */
export const boardOf = (state: PipelineState, name: string): BoardState | undefined =>
  Object.hasOwn(state.boards, name) ? state.boards[name] : undefined;

/** Of the board's present start; undefined where it is no gate board, or has not said yet. */
export const bootIdOf = (state: PipelineState, name: string): number | undefined => boardOf(state, name)?.sequence.bootId;

/** What comes from a board without a clock of its own is timed by its arrival: ticks are session ns, late by some ms. */
const ARRIVAL: ClockFit = {
  referenceTicks: 0,
  referenceNs: 0,
  nsPerTick: 1,
  rateStandardUncertainty: 0,
  rateError: 0,
  bend: { standardUncertaintyPerNs: 0, meanSquareNs2: 0, skewNs: 0 },
  offsetStandardUncertaintyNs: 10e6,
  roundTripNs: 0,
  exchangesUsed: 0,
};

/** @returns undefined for a gate board whose clock has not been fitted */
export const clockOf = (state: PipelineState, rig: Rig, name: string): ClockFit | undefined =>
  gateBoard(rig, name) ? boardOf(state, name)?.clock : ARRIVAL;

/** As fitted, or as the rig file claims. */
export function nsPerTick(board: BoardState | undefined, rig: Rig, name: string): number {
  const nominalHz = gateBoard(rig, name)?.tickRateHz.value ?? Number.NaN;
  return board?.clock?.nsPerTick ?? 1e9 / nominalHz;
}

/** Host time of a tick, whole ns; the arrival where the board's clock has not been fitted. */
export const firedNsOf = (board: BoardState | undefined, ticks: number, arrivedAtNs: number): number =>
  board?.clock ? Math.round(hostNs(board.clock, ticks)) : arrivedAtNs;

/** The last moment that a Date holds. */
const UTC_US_MAX = 8.64e18;

/** ISO 8601 with microseconds, by this anchor; session time 0 is 1970 where there is none yet. */
export function utcText(anchor: PipelineState['utc'], atNs: number): string {
  const us = anchor ? anchor.utcUs + Math.round((atNs - anchor.atNs) / 1000) : Math.round(atNs / 1000);
  const seconds = Math.floor(Math.min(Math.max(us, 0), UTC_US_MAX) / 1e6);
  return `${new Date(seconds * 1000).toISOString().slice(0, 19)}.${String(Math.min(999_999, Math.max(0, us - seconds * 1e6))).padStart(6, '0')}Z`;
}

export const edgesLost = (state: PipelineState): number => Object.values(state.boards).reduce((sum, board) => sum + board.edgesLost, 0);
