/** The simulated range in this very process, all its boards on pseudo-terminals. */
import { startLiveRange } from '../../firmware-sim/live-range.ts';
import type { BoardName } from '../../firmware-sim/range.ts';
import { closeWires, openWires } from '../../firmware-sim/range-wires.ts';

export interface WiredRange {
  setPlugged(board: BoardName, plugged: boolean): Promise<void>;
  close(): Promise<void>;
}

/** @param folder  for the wires, each by its board's name */
export async function openWiredRange(folder: string, seed: number): Promise<WiredRange> {
  const wires = await openWires(folder);
  const range = startLiveRange({ wires, seed, pace: 'fast', faults: [], onFired: () => undefined });
  return {
    setPlugged: range.setPlugged,
    close: async () => {
      range.stop();
      await closeWires(wires);
    },
  };
}
