/** The range by the wall clock, on its wires: range time is the monotonic time since it began. */
import { createRange, type FaultName } from './range.ts';
import { LINE_FAULTS, lineFaults } from './wires/faults.ts';
import { createMemoryLine, type LineEnd } from './wires/memory.ts';
import type { Wire } from './wires/wire.ts';
import type { Pace } from './world/procedure.ts';
import type { ShotTruth } from './world/shot.ts';

export interface FiredShot extends ShotTruth {
  /** ISO 8601 UTC of the valve signal. */
  readonly firedAt: string;
}

export interface LiveRangeOptions {
  /** Of the gate board. */
  readonly wire: Wire;
  readonly weatherWire?: Wire;
  readonly gaugeWire?: Wire;
  readonly seed: number;
  readonly pace: Pace;
  readonly faults: readonly FaultName[];
  readonly shots?: number;
  readonly onFired: (shot: FiredShot) => void;
}

export interface LiveRange {
  /** The gate board's wire. */
  setPlugged(plugged: boolean): Promise<void>;
  restartBoard(): void;
  /** Ends the loop; the wires stay their owner's to close. */
  stop(): void;
}

/** Short against the line's own latency, long against what a step costs. */
const STEP_MS = 2;
/** Of each chosen line fault, for one frame. */
const LINE_FAULT_PROBABILITY = 0.02;
/** The `unplug` fault: out at the valve signal, in again after this. */
const UNPLUGGED_MS = 1500;

export function startLiveRange(options: LiveRangeOptions): LiveRange {
  const { wire, seed, pace, faults, shots } = options;
  const range = createRange({ seed, pace, faults, ...(shots === undefined ? {} : { shots }) });
  const onLine = LINE_FAULTS.filter((name) => faults.includes(name));
  const line = createMemoryLine({ seed, end: range, ...(onLine.length > 0 ? { fault: lineFaults(onLine, LINE_FAULT_PROBABILITY) } : {}) });
  // One reading of each clock, at the same moment: range time never steps when UTC does.
  const startMs = performance.now();
  const startUtcMs = Date.now();
  const nowS = (): number => (performance.now() - startMs) / 1000;
  let told = 0;
  let stopped = false;
  let replugTimer: NodeJS.Timeout | undefined;

  const setPlugged = async (plugged: boolean): Promise<void> => {
    clearTimeout(replugTimer);
    line.setPlugged(plugged, nowS());
    await (plugged ? wire.replug() : wire.unplug());
  };

  // Each line has a jitter of its own.
  const plainLine = (end: LineEnd, number: number) => createMemoryLine({ seed: seed + number, end });
  const served = [
    { wire, line },
    { wire: options.weatherWire, line: plainLine(range.weatherBoard, 1) },
    { wire: options.gaugeWire, line: plainLine(range.fillGauge, 2) },
  ];
  for (const { wire: to, line: on } of served) to?.onData((bytes) => on.send(Uint8Array.from(bytes), nowS()));

  const step = (): void => {
    if (stopped) return;
    for (const { wire: to, line: on } of served) for (const { bytes } of on.advanceTo(nowS())) to?.write(bytes);
    const newest = range.truth.at(-1)?.number ?? 0;
    for (const shot of newest > told ? range.truth.filter(({ number }) => number > told) : []) {
      told = shot.number;
      options.onFired({ firedAt: new Date(startUtcMs + shot.firedAtS * 1000).toISOString(), ...shot });
      if (faults.includes('unplug') && shot.number % 2 === 1) {
        void setPlugged(false).then(() => {
          replugTimer = setTimeout(() => void setPlugged(true), UNPLUGGED_MS);
        });
      }
    }
    setTimeout(step, STEP_MS);
  };
  step();

  return {
    setPlugged,
    restartBoard: () => range.restartBoard(nowS()),
    stop: () => {
      stopped = true;
      clearTimeout(replugTimer);
    },
  };
}
