/** The simulated range on pseudo-terminals in this process, with a witness at the gate board's end. */
import { startLiveRange } from '../../../firmware-sim/live-range.ts';
import { closeWires, openWires } from '../../../firmware-sim/range-wires.ts';
import { Witness } from './tapped-wire.ts';

export interface WitnessedRange {
  readonly witness: Witness;
  /** Called at each firing; the next call of it replaces the last. */
  onFired(heard: () => void): void;
  close(): Promise<void>;
}

/** @param folder  for the wires, each by its board's name */
export async function startWitnessedRange(folder: string, seed: number): Promise<WitnessedRange> {
  const wires = await openWires(folder);
  const witness = new Witness();
  let heard: () => void = () => undefined;
  const range = startLiveRange({
    wires: { ...wires, 'gate-board': witness.tap(wires['gate-board']) },
    seed,
    pace: 'fast',
    faults: [],
    onFired: () => heard(),
  });
  return {
    witness,
    onFired: (next) => {
      heard = next;
    },
    close: async () => {
      range.stop();
      await closeWires(wires);
    },
  };
}
