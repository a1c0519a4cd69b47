/** How close two edges may be for both to be told exactly, and what is said of closer ones. */
import type { Firmware } from '../../../firmware-sim/avr/bench/index.ts';
import { randomStream } from '../../../firmware-sim/world/random.ts';
import { FIRST_CYCLE, type PlacedEdge, runEdges } from '../../support/avr-edges.ts';
import type { Row } from '../table.ts';

/** Cycles; beyond the longest of them all is well in any case. */
const SPACING_MAX = 260;
/** Long enough that the line carries away what was said: else the memory is full, which is another loss. */
const REST_CYCLES = 75_000;

interface Case {
  readonly what: string;
  /** The two edges of a try, and the two that put the inputs back. */
  readonly inputs: readonly [number, number];
  /** The least spacing, in cycles, that is promised. */
  readonly promised: number;
}

/** A microsecond is 16 cycles. Promised is what the manual says: worst seen, and some room. */
const CASES: readonly Case[] = [
  { what: 'there and back on one gate', inputs: [1, 1], promised: 240 },
  { what: 'on two gates of one capture unit (1 and 3)', inputs: [1, 3], promised: 240 },
  { what: 'on two gates of one pair (1 and 2)', inputs: [1, 2], promised: 1 },
];

export function* spacingRows(firmware: Firmware, tries: number): Generator<Row> {
  for (const one of CASES) yield* caseRows(firmware, one, tries);
}

function* caseRows(firmware: Firmware, { what, inputs, promised }: Case, tries: number): Generator<Row> {
  const random = randomStream(inputs[1], 'spacing');
  let cycle = FIRST_CYCLE;
  const edges: PlacedEdge[] = [];
  const pairs = Array.from({ length: tries }, (_, i) => {
    cycle += REST_CYCLES + random.integer(4000);
    // Every spacing in its turn, a few tries at all lengths among the first of them.
    const spacing = 1 + ((i * 37) % SPACING_MAX);
    const [a, b] = inputs;
    const pair = [
      { cycle, input: a, active: true },
      { cycle: cycle + spacing, input: b, active: a !== b },
    ];
    edges.push(...pair);
    if (a !== b) {
      edges.push({ cycle: cycle + REST_CYCLES, input: a, active: false }, { cycle: cycle + REST_CYCLES + 2000, input: b, active: false });
      cycle += REST_CYCLES;
    }
    return { spacing, pair };
  });
  const run = runEdges({ firmware, edges });
  const keyOf = ({ cycle: at, input, active }: PlacedEdge): string => `${at} ${input} ${active}`;
  const told = new Set(run.told.map(keyOf));
  const placed = new Set(edges.map(keyOf));
  const wrong = run.told.filter((edge) => !placed.has(keyOf(edge))).length;
  const lossAt = Math.max(0, ...pairs.filter(({ pair }) => !pair.every((edge) => told.has(keyOf(edge)))).map(({ spacing }) => spacing));
  yield {
    what: `Least spacing of two edges ${what} with nothing lost (${tries} tries)`,
    wanted: `${promised} cycles (${(promised / 16).toFixed(1)} µs) at most`,
    found: `${lossAt + 1} cycles (${((lossAt + 1) / 16).toFixed(1)} µs)`,
    reached: lossAt + 1 <= promised,
  };
  const uncounted = edges.length - run.told.length - run.lost;
  yield {
    what: 'Of closer ones: wrong stamps, and losses that were not counted',
    wanted: '0, 0',
    found: `${wrong}, ${uncounted} (${run.lost} counted)`,
    reached: wrong === 0 && uncounted === 0,
  };
}
