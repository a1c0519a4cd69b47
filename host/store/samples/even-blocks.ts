/** From the pieces in which a board sent its counts to blocks of even times. Pure. */
import type { CountBlock } from './sample-window.ts';

/** As it came: within itself even, timed by the board's clock as it was fitted then. */
export interface CountPiece {
  readonly fromNs: number;
  readonly periodNs: number;
  readonly calibration: number;
  readonly addedSi: number;
  readonly counts: readonly number[];
}

/** A sample's time may move by a thousandth of the sampling period, and by no less than this. */
const TOLERANCE_NS_MIN = 1_000;
const TOLERANCE_PERIODS = 1e-3;

/** @param pieces  of one channel and stream, ascending by time */
export function evenBlocks(pieces: readonly CountPiece[]): CountBlock[] {
  const blocks: CountBlock[] = [];
  let run: CountPiece[] = [];
  for (const piece of pieces) {
    const last = run.at(-1);
    if (last !== undefined && !follows(last, piece)) {
      blocks.push(...blocksOf(run));
      run = [];
    }
    run.push(piece);
  }
  if (run.length > 0) blocks.push(...blocksOf(run));
  return blocks;
}

function follows(last: CountPiece, piece: CountPiece): boolean {
  if (piece.calibration !== last.calibration || piece.addedSi !== last.addedSi) return false;
  const dueNs = last.fromNs + last.counts.length * last.periodNs;
  return Math.abs(piece.fromNs - dueNs) < last.periodNs / 4;
}

/** One block over all, between the first and the last sample; where the clock's fit has moved too far for that, two halves. */
function blocksOf(run: readonly CountPiece[]): CountBlock[] {
  const [first] = run;
  const last = run.at(-1);
  if (first === undefined || last === undefined) return [];
  const n = run.reduce((sum, { counts }) => sum + counts.length, 0);
  const endNs = last.fromNs + (last.counts.length - 1) * last.periodNs;
  const periodNs = run.length === 1 || n === 1 ? first.periodNs : (endNs - first.fromNs) / (n - 1);
  if (run.length > 1 && !isEven(run, first.fromNs, periodNs)) {
    const half = run.length >> 1;
    return [...blocksOf(run.slice(0, half)), ...blocksOf(run.slice(half))];
  }
  const counts = new Int32Array(n);
  let at = 0;
  for (const piece of run) {
    counts.set(piece.counts, at);
    at += piece.counts.length;
  }
  return [{ fromNs: first.fromNs, periodNs, calibration: first.calibration, addedSi: first.addedSi, counts }];
}

function isEven(run: readonly CountPiece[], fromNs: number, periodNs: number): boolean {
  const toleranceNs = Math.max(TOLERANCE_NS_MIN, TOLERANCE_PERIODS * periodNs);
  let before = 0;
  return run.every((piece) => {
    const last = piece.counts.length - 1;
    const beginOffNs = piece.fromNs - (fromNs + before * periodNs);
    const endOffNs = beginOffNs + last * (piece.periodNs - periodNs);
    before += piece.counts.length;
    return Math.abs(beginOffNs) <= toleranceNs && Math.abs(endOffNs) <= toleranceNs;
  });
}
