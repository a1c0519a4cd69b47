/** World and board together, driven by whoever has a clock. Everything it does follows from its options. */
import { createGateBoard, type TimedBytes } from './boards/gate-board.ts';
import { LINE_FAULTS, type LineFault } from './wires/faults.ts';
import { RANGE_FAULTS, type RangeFault } from './world/faults.ts';
import { HERON } from './world/heron.ts';
import type { Pace } from './world/procedure.ts';
import type { ShotTruth } from './world/shot.ts';
import { createWorld } from './world/world.ts';

/** All that `--faults` may name. `unplug` takes the wire out around a firing. */
export const FAULTS = [...LINE_FAULTS, 'unplug', ...RANGE_FAULTS] as const;
export type FaultName = LineFault | 'unplug' | RangeFault;

export interface RangeOptions {
  readonly seed: number;
  readonly pace: Pace;
  readonly faults: readonly FaultName[];
  /** Firings after which the range rests; undefined: for ever. */
  readonly shots?: number;
  /** Of the board's line; heron.yaml's where left out. */
  readonly baudRate?: number;
}

export interface Range {
  receive(bytes: Uint8Array, timeS: number): void;
  advanceTo(timeS: number): readonly TimedBytes[];
  restartBoard(timeS: number): void;
  /** What was fired, oldest first; beyond 10 000 the oldest go. */
  readonly truth: readonly ShotTruth[];
}

const TRUTH_KEPT_MAX = 10_000;

export function createRange(options: RangeOptions): Range {
  const { seed, pace, shots } = options;
  const faults = RANGE_FAULTS.filter((name) => options.faults.includes(name));
  const world = createWorld({ seed, pace, faults, ...(shots === undefined ? {} : { shots }) });
  const board = createGateBoard({
    seed,
    boardId: HERON.boardId,
    baudRate: options.baudRate ?? HERON.baudRate,
    tickRateHz: HERON.tickRateHz,
    tickRateErrorPpmMax: HERON.tickRateErrorPpmMax,
    inputs: world,
  });
  let truth: readonly ShotTruth[] = [];
  const worldTo = (timeS: number): void => {
    const fired = world.advanceTo(timeS);
    if (fired.length > 0) truth = [...truth, ...fired].slice(-TRUTH_KEPT_MAX);
  };
  return {
    receive: (bytes, timeS) => {
      worldTo(timeS);
      board.receive(bytes, timeS);
    },
    advanceTo: (timeS) => {
      worldTo(timeS);
      return board.advanceTo(timeS);
    },
    restartBoard: (timeS) => {
      worldTo(timeS);
      board.restart(timeS);
    },
    get truth() {
      return truth;
    },
  };
}
