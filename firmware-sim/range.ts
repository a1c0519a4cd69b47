/** World, boards and instruments together, driven by whoever has a clock. Everything it does follows from its options. */
import { fallsSilent } from './boards/falls-silent.ts';
import { type BoardInputs, createGateBoard, type EdgeWatch } from './boards/gate-board.ts';
import type { SamplePlan } from './boards/samplers.ts';
import type { FaultName } from './faults.ts';
import { createFillGauge, createStrangeStation, createWindMeter } from './instruments/text-instruments.ts';
import { createWeatherBoard } from './instruments/weather-board.ts';
import type { LineEnd } from './wires/memory.ts';
import { createDropWorld } from './world/drop-world.ts';
import { RANGE_FAULTS } from './world/faults.ts';
import { HERON } from './world/heron.ts';
import { PACE_FACTOR, type Pace, planCycle, type SetPoints } from './world/procedure.ts';
import type { ShotTruth } from './world/shot.ts';
import { createWorld } from './world/world.ts';

/** As the rig file names them; each is at the end of a wire of its own. */
export const BOARDS = ['gate-board', 'weather-board', 'fill-gauge', 'wind-meter'] as const;
export type BoardName = (typeof BOARDS)[number];

/** A gate board at its place: what it sees is handed to it, what it says and hears goes over its line. */
export interface RangeGateBoard extends LineEnd {
  /** As after a watchdog. */
  restart(timeS: number): void;
}

export type MakeGateBoard = (inputs: BoardInputs) => RangeGateBoard;

export interface RangeOptions {
  readonly seed: number;
  readonly pace: Pace;
  readonly faults: readonly FaultName[];
  /** Firings after which the range rests; undefined: for ever. */
  readonly shots?: number;
  /** The rig file's targets where left out. */
  readonly setPoints?: SetPoints;
  /** Range time before which nothing is fired, s. */
  readonly firstShotAfterS?: number;
  /** Nothing is fired: a ball is dropped through pair A, so many times as there would be shots. */
  readonly drop?: boolean;
  /** Another gate board than the simulated one, which the three options after it are for. */
  readonly makeGateBoard?: MakeGateBoard;
  /** Of the gate board's line; heron.yaml's where left out. */
  readonly baudRate?: number;
  readonly edgeWatch?: EdgeWatch;
  /** Of the gate board's running stream; its usual ones where left out. */
  readonly samplePlans?: readonly SamplePlan[];
}

export interface Range {
  readonly ends: Readonly<Record<BoardName, LineEnd>>;
  restartGateBoard(timeS: number): void;
  /** What was fired, oldest first; beyond 10 000 the oldest go. */
  readonly truth: readonly ShotTruth[];
}

const TRUTH_KEPT_MAX = 10_000;
/** The `garbled-text` fault: probability of each, for one line. */
const GARBLED = { garbage: 0.2, truncated: 0.2 } as const;

export function createRange(options: RangeOptions): Range {
  const { seed, pace, shots, firstShotAfterS, setPoints = 'target' } = options;
  const has = (fault: FaultName): boolean => options.faults.includes(fault);
  const paceFactor = PACE_FACTOR[pace];
  const firing = () =>
    createWorld({
      seed,
      pace,
      setPoints,
      faults: RANGE_FAULTS.filter(has),
      leaky: has('leaky'),
      ...(shots === undefined ? {} : { shots }),
      ...(firstShotAfterS === undefined ? {} : { firstShotAfterS }),
    });
  const dropping = () =>
    createDropWorld({
      seed,
      ...(shots === undefined ? {} : { drops: shots }),
      ...(firstShotAfterS === undefined ? {} : { firstDropAtS: firstShotAfterS }),
    });
  const world = options.drop === true ? dropping() : firing();
  const strikesAtS = planCycle({ seed, pace, setPoints, number: 1, startS: 0, firstShotAfterS }).firedAtS / 2;
  const simulatedBoard: MakeGateBoard = (inputs) =>
    createGateBoard({
      seed,
      boardId: HERON.boardId,
      baudRate: options.baudRate ?? HERON.baudRate,
      tickRateHz: HERON.tickRateHz,
      tickRateErrorPpmMax: HERON.tickRateErrorPpmMax,
      inputs,
      ...(options.edgeWatch === undefined ? {} : { edgeWatch: options.edgeWatch }),
      ...(options.samplePlans === undefined ? {} : { samplePlans: options.samplePlans }),
    });
  const gateBoard = (options.makeGateBoard ?? simulatedBoard)(world);
  const text = { seed, world, faults: has('garbled-text') ? GARBLED : {} };
  const weatherBoard = has('wrong-device')
    ? createStrangeStation(text)
    : createWeatherBoard({ seed, world, paceFactor, sunFromS: has('sun-on-sensor') ? strikesAtS : undefined });

  let truth: readonly ShotTruth[] = [];
  /** Whichever board is asked first takes the world along. */
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
  const worldTo = (timeS: number): void => {
    const fired = world.advanceTo(timeS);
    if (fired.length > 0) truth = [...truth, ...fired].slice(-TRUTH_KEPT_MAX);
  };
  return {
    ends: {
      'gate-board': inWorld(gateBoard),
      'weather-board': inWorld(has('silent-weather') ? fallsSilent(weatherBoard, strikesAtS) : weatherBoard),
      'fill-gauge': inWorld(createFillGauge(text, has('stuck-gauge') ? strikesAtS : undefined)),
      'wind-meter': inWorld(createWindMeter(text)),
    },
    restartGateBoard: (timeS) => {
      worldTo(timeS);
      gateBoard.restart(timeS);
    },
    get truth() {
      return truth;
    },
  };
}
