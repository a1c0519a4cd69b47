/** Many edges one behind the other, as of a chattering detector or a flickering light: from which spacing on each is told exactly. */
import type { Firmware } from '../../../firmware-sim/avr/bench/index.ts';
import { FIRST_CYCLE, type PlacedEdge, runEdges } from '../../support/avr-edges.ts';
import type { Row } from '../table.ts';

const EDGES = 24;
const SPACING_MAX = 360;
/** So that the line has carried a train away before the next one, and the memory is never full. */
const REST_CYCLES = 1_200_000;
const TRAINS = 3;
/** What the manual says, cycles: worst seen, and some room. */
const PROMISED = 320;
/** Nearer ones, cycles, may be taken for one edge: three changes of one pin before the program first looks leave the trace of one. */
const NOTICED_FROM = 16;

const CASES: readonly { readonly what: string; readonly gates: readonly number[] }[] = [
  { what: 'on one gate', gates: [1] },
  { what: 'on two gates of one capture unit in turn (1, 3)', gates: [1, 3] },
  { what: 'on two gates of one pair in turn (1, 2)', gates: [1, 2] },
  { what: 'on four gates in turn', gates: [1, 2, 3, 4] },
];

/** @param step  cycles from one spacing that is tried to the next */
export function* trainRows(firmware: Firmware, step: number): Generator<Row> {
  let [wrong, unnoticed, below, withLoss] = [0, 0, 0, 0];
  for (const { what, gates } of CASES) {
    let lossAt = 0;
    for (let spacing = step; spacing <= SPACING_MAX; spacing += step) {
      const edges = trains(gates, spacing);
      const run = runEdges({ firmware, edges });
      const [told, placed] = [run.told, edges].map((all) => new Set(all.map(keyOf)));
      wrong += run.told.filter((edge) => !placed?.has(keyOf(edge))).length;
      if (edges.every((edge) => told?.has(keyOf(edge)))) continue;
      lossAt = spacing;
      withLoss += 1;
      if (run.lost > 0) continue;
      if (spacing >= NOTICED_FROM) unnoticed += 1;
      else below += 1;
    }
    yield {
      what: `Least spacing in a train of ${EDGES} edges ${what} with nothing lost, every ${step} cycles tried`,
      wanted: `${PROMISED} cycles (${(PROMISED / 16).toFixed(1)} µs) at most`,
      found: `${lossAt + step} cycles (${((lossAt + step) / 16).toFixed(1)} µs)`,
      reached: lossAt + step <= PROMISED,
    };
  }
  yield {
    what: `Of ${withLoss} runs with closer trains: wrong stamps, and runs in which edges from 1 µs apart were missing and no loss was counted`,
    wanted: '0, 0',
    found: `${wrong}, ${unnoticed} (and ${below} below 1 µs)`,
    reached: wrong === 0 && unnoticed === 0,
  };
}

const keyOf = ({ cycle, input, active }: PlacedEdge): string => `${cycle} ${input} ${active}`;

/** Some trains, each at another place against the sampling's interrupts, and at the end of each all gates clear. */
function trains(gates: readonly number[], spacing: number): readonly PlacedEdge[] {
  return Array.from({ length: TRAINS }, (_, train) => {
    const from = FIRST_CYCLE + train * (REST_CYCLES + 1237);
    return Array.from({ length: EDGES }, (__, i): PlacedEdge => {
      const input = gates[i % gates.length] ?? 1;
      return { cycle: from + i * spacing, input, active: Math.floor(i / gates.length) % 2 === 0 };
    });
  }).flat();
}
