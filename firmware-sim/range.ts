/** World and boards together, driven by whoever has a clock. Everything it does follows from its options. */
import type { AirSample } from './boards/firmata-board/index.ts';
import { createGateBoard } from './boards/gate-board.ts';
import { createFillGauge, createWeatherBoard, INSTRUMENT_FAULTS, type InstrumentFault, shownAir } from './instruments.ts';
import { LINE_FAULTS, type LineFault } from './wires/faults.ts';
import type { LineEnd } from './wires/memory.ts';
import { RANGE_FAULTS, type RangeFault } from './world/faults.ts';
import { HERON } from './world/heron.ts';
import type { Pace } from './world/procedure.ts';
import type { ShotTruth } from './world/shot.ts';
import { createWorld } from './world/world.ts';

/** All that `--faults` may name. `unplug` takes the wire out around a firing. */
export const FAULTS = [...LINE_FAULTS, 'unplug', ...RANGE_FAULTS, ...INSTRUMENT_FAULTS] as const;
export type FaultName = LineFault | 'unplug' | RangeFault | InstrumentFault;

export interface RangeOptions {
  readonly seed: number;
  readonly pace: Pace;
  readonly faults: readonly FaultName[];
  /** Firings after which the range rests; undefined: for ever. */
  readonly shots?: number;
  /** Of the gate board's line; heron.yaml's where left out. */
  readonly baudRate?: number;
}

/** Itself the gate board's end of a line. */
export interface Range extends LineEnd {
  readonly weatherBoard: LineEnd;
  readonly fillGauge: LineEnd;
  /** The air as its sensor shows it; for whoever does not ask the weather board. In the order of time. */
  shownAir(timeS: number): AirSample;
  /** The gate board, as after a loss of power. */
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
  const instrumentFaults = INSTRUMENT_FAULTS.filter((name) => options.faults.includes(name));
  const weatherBoard = createWeatherBoard(world, instrumentFaults);
  const fillGauge = createFillGauge(world, seed, instrumentFaults);
  let truth: readonly ShotTruth[] = [];
  const worldTo = (timeS: number): void => {
    const fired = world.advanceTo(timeS);
    if (fired.length > 0) truth = [...truth, ...fired].slice(-TRUTH_KEPT_MAX);
  };
  /** A board sees the world only up to its own time. */
  const inWorld = (end: LineEnd): LineEnd => ({
    receive: (bytes, timeS) => {
      worldTo(timeS);
      end.receive(bytes, timeS);
    },
    advanceTo: (timeS) => {
      worldTo(timeS);
      return end.advanceTo(timeS);
    },
  });
  return {
    ...inWorld(board),
    weatherBoard: inWorld(weatherBoard),
    fillGauge: inWorld(fillGauge),
    shownAir: (timeS) => shownAir(world, timeS),
    restartBoard: (timeS) => {
      worldTo(timeS);
      board.restart(timeS);
    },
    get truth() {
      return truth;
    },
  };
}
