/** A Firmata board by the wall clock, on a wire: range time is the monotonic time since it began. */
import type { ByteFault } from '../../wires/faults.ts';
import { createMemoryLine, type LineEnd } from '../../wires/memory.ts';
import type { Wire } from '../../wires/wire.ts';

export interface LiveFirmataBoardOptions {
  readonly wire: Wire;
  readonly board: LineEnd;
  /** Of the line's jitter and faults. */
  readonly seed: number;
  readonly fault?: ByteFault;
}

export interface LiveFirmataBoard {
  /** Range time, now. */
  nowS(): number;
  setPlugged(plugged: boolean): Promise<void>;
  /** Ends the loop; the wire stays its owner's to close. */
  stop(): void;
}

/** Short against a sampling interval, long against what a step costs. */
const STEP_MS = 2;

export function startLiveFirmataBoard({ wire, board, seed, fault }: LiveFirmataBoardOptions): LiveFirmataBoard {
  const line = createMemoryLine({ seed, end: board, ...(fault === undefined ? {} : { fault }) });
  const startMs = performance.now();
  const nowS = (): number => (performance.now() - startMs) / 1000;
  let timer: NodeJS.Timeout | undefined;
  let stopped = false;

  wire.onData((bytes) => {
    if (!stopped) line.send(Uint8Array.from(bytes), nowS());
  });
  const step = (): void => {
    for (const { bytes } of line.advanceTo(nowS())) wire.write(bytes);
    timer = setTimeout(step, STEP_MS);
  };
  step();

  return {
    nowS,
    setPlugged: async (plugged) => {
      line.setPlugged(plugged, nowS());
      await (plugged ? wire.replug() : wire.unplug());
    },
    stop: () => {
      stopped = true;
      clearTimeout(timer);
    },
  };
}
