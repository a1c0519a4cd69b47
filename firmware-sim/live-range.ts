/** The range by the wall clock, on wires: range time is the monotonic time since it began. */
import type { FaultName } from './faults.ts';
import { BOARDS, type BoardName, createRange, type MakeGateBoard } from './range.ts';
import { type RangeTime, startRangeTime } from './range-time.ts';
import { LINE_FAULTS, lineFaults } from './wires/faults.ts';
import { createMemoryLine, type MemoryLine } from './wires/memory.ts';
import type { Wire } from './wires/wire.ts';
import type { Pace, SetPoints } from './world/procedure.ts';
import type { ShotTruth } from './world/shot.ts';

export interface FiredShot extends ShotTruth {
  /** ISO 8601 UTC of the valve signal. */
  readonly firedAt: string;
}

export interface LiveRangeOptions {
  readonly wires: Readonly<Record<BoardName, Wire>>;
  readonly seed: number;
  readonly pace: Pace;
  readonly faults: readonly FaultName[];
  readonly shots?: number;
  /** The rig file's targets where left out. */
  readonly setPoints?: SetPoints;
  /** Balls are dropped through pair A, and nothing is fired. */
  readonly drop?: boolean;
  /** Another gate board than the simulated one. */
  readonly makeGateBoard?: MakeGateBoard;
  /** Begun just now; left out: real time. */
  readonly time?: RangeTime;
  /** Told once each time that the range falls behind its clock by more than BEHIND_S. */
  readonly onBehind?: (seconds: number) => void;
  readonly onFired: (shot: FiredShot) => void;
}

export interface LiveRange {
  setPlugged(board: BoardName, plugged: boolean): Promise<void>;
  restartGateBoard(): void;
  /** Ends the loop; the wires stay their owner's to close. */
  stop(): void;
}

/** Short against the line's own latency, long against what a step costs. */
const STEP_MS = 2;
/** At most so much range time a step, so that a range that has fallen behind still serves its wires while it catches up. */
const STEP_S_MAX = 0.05;
export const BEHIND_S = 1;
/** Of each chosen line fault, for one frame. */
const LINE_FAULT_PROBABILITY = 0.02;
/** The `unplug` fault: out at the valve signal, in again after this. */
const UNPLUGGED_MS = 1500;
/** By then a host that was started along with the range has opened every link, the weather board's as the last. */
const FIRST_SHOT_S = 5;

export function startLiveRange(options: LiveRangeOptions): LiveRange {
  const { wires, seed, pace, faults, shots, setPoints, makeGateBoard, time = startRangeTime(), onBehind = () => undefined } = options;
  const range = createRange({
    seed,
    pace,
    faults,
    firstShotAfterS: FIRST_SHOT_S,
    ...(shots === undefined ? {} : { shots }),
    ...(setPoints === undefined ? {} : { setPoints }),
    ...(options.drop === true ? { drop: true } : {}),
    ...(makeGateBoard ? { makeGateBoard } : {}),
  });
  const lines = linesOf(range.ends, seed, faults);
  /** How far the range has been taken; never beyond its clock. */
  let reachedS = 0;
  let isBehind = false;
  const now = (): number => {
    reachedS = time.nowS();
    return reachedS;
  };
  let told = 0;
  let stopped = false;
  let replugTimer: NodeJS.Timeout | undefined;

  const setPlugged = async (board: BoardName, plugged: boolean): Promise<void> => {
    lines[board].setPlugged(plugged, now());
    await (plugged ? wires[board].replug() : wires[board].unplug());
  };

  for (const board of BOARDS) wires[board].onData((bytes) => lines[board].send(Uint8Array.from(bytes), time.nowS()));

  const tellFired = (): void => {
    const newest = range.truth.at(-1)?.number ?? 0;
    for (const shot of newest > told ? range.truth.filter(({ number }) => number > told) : []) {
      told = shot.number;
      options.onFired({ firedAt: new Date(time.beganUtcMs + shot.firedAtS * 1000).toISOString(), ...shot });
      if (faults.includes('unplug') && shot.number % 2 === 1) {
        clearTimeout(replugTimer);
        void setPlugged('gate-board', false).then(() => {
          replugTimer = setTimeout(() => void setPlugged('gate-board', true), UNPLUGGED_MS);
        });
      }
    }
  };

  const step = (): void => {
    if (stopped) return;
    // One moment for all, so that none looks further back than the world remembers.
    const dueS = time.nowS();
    reachedS = Math.min(dueS, reachedS + STEP_S_MAX);
    for (const board of BOARDS) for (const { bytes } of lines[board].advanceTo(reachedS)) wires[board].write(bytes);
    tellFired();
    const behindS = time.nowS() - reachedS;
    if (behindS > BEHIND_S && !isBehind) onBehind(behindS);
    isBehind = behindS > (isBehind ? BEHIND_S / 10 : BEHIND_S);
    setTimeout(step, reachedS < dueS ? 0 : STEP_MS);
  };
  step();

  return {
    setPlugged: (board, plugged) => {
      if (board === 'gate-board') clearTimeout(replugTimer);
      return setPlugged(board, plugged);
    },
    restartGateBoard: () => range.restartGateBoard(now()),
    stop: () => {
      stopped = true;
      clearTimeout(replugTimer);
    },
  };
}

/** Faults of the line are on the gate board's: the others' bytes carry no check that could find them. */
function linesOf(ends: ReturnType<typeof createRange>['ends'], seed: number, faults: readonly FaultName[]): Record<BoardName, MemoryLine> {
  const onLine = LINE_FAULTS.filter((name) => faults.includes(name));
  const fault = onLine.length > 0 ? { fault: lineFaults(onLine, LINE_FAULT_PROBABILITY) } : {};
  const plain = (board: BoardName): MemoryLine => createMemoryLine({ seed, name: `line/${board}`, end: ends[board] });
  return {
    'gate-board': createMemoryLine({ seed, end: ends['gate-board'], ...fault }),
    'weather-board': plain('weather-board'),
    'fill-gauge': plain('fill-gauge'),
    'wind-meter': plain('wind-meter'),
  };
}
