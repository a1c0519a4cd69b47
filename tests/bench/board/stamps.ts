/** Edges apart from each other, with the line busy and all four channels sampling. */
import type { Firmware } from '../../../firmware-sim/avr/bench/index.ts';
import { randomStream } from '../../../firmware-sim/world/random.ts';
import { FIRST_CYCLE, type PlacedEdge, runEdges } from '../../support/avr-edges.ts';
import { linesOf } from '../../support/board-benches.ts';
import type { Row } from '../table.ts';

const CHANNELS = 4;
const BLOCK_TICKS = 50 * 16_000;

/** @param edgesCount  edges placed; one every 30 000 cycles on the average, near what the line can carry beside the samples */
export function* stampRows(firmware: Firmware, edgesCount: number): Generator<Row> {
  const random = randomStream(1, 'stamps');
  let cycle = FIRST_CYCLE;
  const edges: PlacedEdge[] = Array.from({ length: edgesCount }, (_, i) => {
    cycle += 400 + random.integer(59_200);
    return { cycle, input: 1 + ((i >> 1) % 4), active: i % 2 === 0 };
  });
  const run = runEdges({ firmware, edges });
  const errors = run.told.map(({ cycle: told }, i) => told - (edges[i]?.cycle ?? 0));
  const worst = Math.max(...errors.map(Math.abs));
  yield {
    what: `Time stamp of ${edgesCount} edges apart, the line ${(100 * run.lineLoad).toFixed(0)} % busy: worst error beside the capture delay`,
    wanted: '±1 tick',
    found: `${worst} ticks`,
    reached: worst <= 1,
  };
  yield {
    what: 'Of these, edges lost, with four channels at 1 kHz',
    wanted: '0',
    found: `${edgesCount - run.told.length}`,
    reached: run.told.length === edgesCount && run.lost === 0,
  };
  const blocks = linesOf(run.lines, 'DATA');
  const holes = Array.from({ length: CHANNELS }, (_, channel) => [
    ...new Set(blocks.filter((block) => block.channel === channel).map(({ ticks }) => ticks)),
  ]).map((ticks) => ticks.sort((a, b) => a - b).filter((at, i) => i > 0 && at - (ticks[i - 1] ?? 0) !== BLOCK_TICKS).length);
  yield {
    what: `Of ${blocks.length} blocks of samples meanwhile, places where one does not follow the other`,
    wanted: '0 in each of 4 channels',
    found: holes.join(', '),
    reached: blocks.length > 0 && holes.every((count) => count === 0),
  };
}
