/** What stamps are good for, and whether the rig file of the flashable board allows them as much: that is what the velocity's budget rests on. */
import { CAPTURE_DELAY_CYCLES, type Firmware } from '../../../firmware-sim/avr/bench/index.ts';
import { rigFileText } from '../../../firmware-sim/rig-file.ts';
import { randomStream } from '../../../firmware-sim/world/random.ts';
import { gateBoards, loadRig, type StampSetup } from '../../../host/rig/index.ts';
import { FIRST_CYCLE, type PlacedEdge, runEdges } from '../../support/avr-edges.ts';
import type { Row } from '../table.ts';

const CYCLES_PER_US = 16;
/** A gate's edge so near keeps the trigger's interrupt waiting. */
const NEAR_CYCLES = 120;

/** @param count  edges at the gates, and as many of the trigger, every second one close to one at a gate; the line busy, four channels sampling */
export function* allowanceRows(firmware: Firmware, count: number): Generator<Row> {
  const random = randomStream(2, 'allowance');
  let cycle = FIRST_CYCLE;
  const edges = Array.from({ length: count }, (_, i): PlacedEdge[] => {
    cycle += 60_000 + random.integer(40_000);
    const gate = { cycle, input: 1 + ((i >> 1) % 4), active: i % 2 === 0 };
    const near = i % 2 === 0 ? random.integer(2 * NEAR_CYCLES) - NEAR_CYCLES : 20_000;
    return [gate, { cycle: cycle + near, input: 0, active: i % 2 === 0 }];
  });
  const placed = edges.flat().sort((a, b) => a.cycle - b.cycle);
  const run = runEdges({ firmware, edges: placed, asksAgain: false });
  const delaysUs = (isTrigger: boolean): readonly number[] => {
    const isAsked = ({ input }: PlacedEdge): boolean => (input === 0) === isTrigger;
    const true_ = placed.filter(isAsked);
    return run.told.filter(isAsked).map((edge, i) => {
      // Stamps by hardware are told with the model's own delay taken off.
      const stamp = edge.cycle + (edge.hardwareTimed ? CAPTURE_DELAY_CYCLES : 0);
      return (stamp - (true_[i]?.cycle ?? Number.NaN)) / CYCLES_PER_US;
    });
  };
  const { capture, software } = allowed();
  yield row('An edge at a gate', delaysUs(false), capture, count);
  yield row('An edge of the trigger, every second one within 7.5 µs of one at a gate', delaysUs(true), software, count);
}

function row(what: string, delaysUs: readonly number[], { delayS, jitterS }: StampSetup, count: number): Row {
  const [least, most] = [Math.min(...delaysUs), Math.max(...delaysUs)];
  const mean = delaysUs.reduce((sum, each) => sum + each, 0) / delaysUs.length;
  const sd = Math.sqrt(delaysUs.reduce((sum, each) => sum + (each - mean) ** 2, 0) / (delaysUs.length - 1));
  const [valueUs, halfUs, jitterUs] = [delayS.value, Math.sqrt(3) * delayS.standardUncertainty, jitterS].map((s) => 1e6 * s) as [
    number,
    number,
    number,
  ];
  return {
    what: `${what}: from pin to stamp, ${delaysUs.length} edges, the line busy`,
    wanted: `${valueUs.toFixed(2)} ± ${halfUs.toFixed(2)} µs, jitter ${jitterUs.toFixed(2)} µs, as the rig file allows`,
    found: `${least.toFixed(2)} to ${most.toFixed(2)} µs, mean ${mean.toFixed(2)}, standard deviation ${sd.toFixed(2)} µs`,
    // A rounding's worth more, since the file has its figures in decimals.
    reached: delaysUs.length === count && least >= valueUs - halfUs - 1e-9 && most <= valueUs + halfUs + 1e-9 && sd <= jitterUs + 1e-9,
  };
}

/** By the rig file that `postern demo --board avr` writes. */
function allowed(): { readonly capture: StampSetup; readonly software: StampSetup } {
  const loaded = loadRig(rigFileText({ pace: 'real', faults: [], board: 'avr', todayMs: Date.UTC(2026, 2, 2) }), 'heron.yaml');
  const [board] = loaded.ok ? gateBoards(loaded.rig) : [];
  if (!board) throw new Error('the rig file of the flashable board does not hold');
  return board;
}
