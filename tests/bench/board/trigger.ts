/** The trigger, which the board's program stamps: how late, and how close two of its edges may be. */
import type { Firmware } from '../../../firmware-sim/avr/bench/index.ts';
import { randomStream } from '../../../firmware-sim/world/random.ts';
import { FIRST_CYCLE, type PlacedEdge, runEdges } from '../../support/avr-edges.ts';
import type { Row } from '../table.ts';

/** Cycles; beyond the longest of them all is well in any case. */
const SPACING_MAX = 260;
const REST_CYCLES = 75_000;
/** What the manual says, cycles: worst seen, and some room. */
const PROMISED = 240;

export function* triggerRows(firmware: Firmware, tries: number): Generator<Row> {
  const random = randomStream(1, 'trigger spacing');
  let cycle = FIRST_CYCLE;
  const pulses = Array.from({ length: tries }, (_, i) => {
    cycle += REST_CYCLES + random.integer(4000);
    return { cycle, spacing: 1 + ((i * 37) % SPACING_MAX) };
  });
  const edges = pulses.flatMap(({ cycle: at, spacing }): PlacedEdge[] => [
    { cycle: at, input: 0, active: true },
    { cycle: at + spacing, input: 0, active: false },
  ]);
  const run = runEdges({ firmware, edges });
  // A pulse that was seen is told as two edges, the first within some microseconds of its beginning.
  const isTold = ({ cycle: at, spacing }: (typeof pulses)[number]): boolean =>
    [true, false].every((active) =>
      run.told.some((edge) => edge.active === active && edge.cycle >= at && edge.cycle < at + spacing + SPACING_MAX),
    );
  const lossAt = Math.max(0, ...pulses.filter((pulse) => !isTold(pulse)).map(({ spacing }) => spacing));
  yield {
    what: `Least length of a pulse on the trigger with nothing lost (${tries} tries)`,
    wanted: `${PROMISED} cycles (${(PROMISED / 16).toFixed(1)} µs) at most`,
    found: `${lossAt + 1} cycles (${((lossAt + 1) / 16).toFixed(1)} µs)`,
    reached: lossAt + 1 <= PROMISED,
  };
  const uncounted = edges.length - run.told.length - run.lost;
  yield {
    what: 'Of shorter ones: edges that were neither told nor counted, or counted twice',
    wanted: '0',
    found: `${uncounted} (${run.lost} counted)`,
    reached: uncounted === 0,
  };
}
