/** The range by the wall clock, on wires: range time is the monotonic time since it began. */
import type { FaultName } from './faults.ts';
import { BOARDS, type BoardName, createRange } from './range.ts';
import { LINE_FAULTS, lineFaults } from './wires/faults.ts';
import { createMemoryLine, type MemoryLine } from './wires/memory.ts';
import type { Wire } from './wires/wire.ts';
import type { Pace } from './world/procedure.ts';
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
/** Of each chosen line fault, for one frame. */
const LINE_FAULT_PROBABILITY = 0.02;
/** The `unplug` fault: out at the valve signal, in again after this. */
const UNPLUGGED_MS = 1500;
/** By then a host that was started along with the range has opened every link, the weather board's as the last. */
const FIRST_SHOT_S = 5;

export function startLiveRange(options: LiveRangeOptions): LiveRange {
  const { wires, seed, pace, faults, shots } = options;
  const range = createRange({ seed, pace, faults, firstShotAfterS: FIRST_SHOT_S, ...(shots === undefined ? {} : { shots }) });
  const lines = linesOf(range.ends, seed, faults);
  // One reading of each clock, at the same moment: range time never steps when UTC does.
  const startMs = performance.now();
  const startUtcMs = Date.now();
  const nowS = (): number => (performance.now() - startMs) / 1000;
  let told = 0;
  let stopped = false;
  let replugTimer: NodeJS.Timeout | undefined;

  const setPlugged = async (board: BoardName, plugged: boolean): Promise<void> => {
    lines[board].setPlugged(plugged, nowS());
    await (plugged ? wires[board].replug() : wires[board].unplug());
  };

  for (const board of BOARDS) wires[board].onData((bytes) => lines[board].send(Uint8Array.from(bytes), nowS()));

  const tellFired = (): void => {
    const newest = range.truth.at(-1)?.number ?? 0;
    for (const shot of newest > told ? range.truth.filter(({ number }) => number > told) : []) {
      told = shot.number;
      options.onFired({ firedAt: new Date(startUtcMs + shot.firedAtS * 1000).toISOString(), ...shot });
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
    const timeS = nowS();
    for (const board of BOARDS) for (const { bytes } of lines[board].advanceTo(timeS)) wires[board].write(bytes);
    tellFired();
    setTimeout(step, STEP_MS);
  };
  step();

  return {
    setPlugged: (board, plugged) => {
      if (board === 'gate-board') clearTimeout(replugTimer);
      return setPlugged(board, plugged);
    },
    restartGateBoard: () => range.restartGateBoard(nowS()),
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
