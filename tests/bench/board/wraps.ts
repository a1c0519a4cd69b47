/** The race of an edge with the counter's overflow, at every one of its 65 536 counts, and the count over a day. */
import { CAPTURE_DELAY_CYCLES, createAvrBoard, type Firmware } from '../../../firmware-sim/avr/bench/index.ts';
import { FIRST_CYCLE, type PlacedEdge, runEdges } from '../../support/avr-edges.ts';
import type { Row } from '../table.ts';

const TURN = 65_536;
/** From where the count is put to the edge, and from there to when its interrupt is surely over. */
const BEFORE_CYCLES = 90;
const AFTER_CYCLES = 500;
const EDGE_BYTES = 11;
const EDGES_MAX = 64;
const ADCSRA = 0x7a;

/** @param step  1 for every count; more for a test: then the counts near the wrap are all there, of the others every so many */
export function* wrapRows(firmware: Firmware, step: number): Generator<Row> {
  const { bench } = createAvrBoard({
    program: firmware.program,
    seed: 1,
    tickRateErrorPpmMax: 0.3,
    inputs: { takeEdges: () => [], sampleCounts: () => 0 },
  });
  const { chip, timers, setAt } = bench;
  const { cpu } = chip;
  const at = (name: string): number => {
    const address = firmware.variables.get(name);
    if (address === undefined) throw new Error(`the firmware has no variable ${name}`);
    return address;
  };
  chip.runTo(FIRST_CYCLE);
  // The converter's place in time goes by the count, which is to be put about.
  cpu.writeData(ADCSRA, 0);
  let [tried, wrong, missing] = [0, 0, 0];
  for (let count = 0; count < TURN; count++) {
    const isNear = count < 256 || count >= TURN - 256;
    if (!isNear && count % step !== 0) continue;
    const from = (count - BEFORE_CYCLES + TURN) % TURN;
    // Only between instructions, and with nothing pending that belongs to the count as it was.
    chip.runTo(cpu.cycles + AFTER_CYCLES);
    timers.four.setCount(from);
    timers.five.setCount(from);
    const turns = cpu.dataView.getUint32(at('ticks_overflows'), true);
    const heldBefore = cpu.data[at('count')] ?? 0;
    const first = cpu.data[at('oldest')] ?? 0;
    setAt(cpu.cycles + BEFORE_CYCLES - CAPTURE_DELAY_CYCLES, 1 + (tried % 2), (tried >> 1) % 2 === 0);
    chip.runTo(cpu.cycles + BEFORE_CYCLES + AFTER_CYCLES);
    const held = cpu.data[at('count')] ?? 0;
    tried += 1;
    if (held !== heldBefore + 1) missing += 1;
    else {
      const edge = at('ring') + ((first + held - 1) % EDGES_MAX) * EDGE_BYTES;
      const ticks = cpu.dataView.getUint16(edge + 4, true) + TURN * cpu.dataView.getUint32(edge + 6, true);
      if (ticks !== turns * TURN + from + BEFORE_CYCLES) wrong += 1;
    }
    // As an acknowledgement would.
    if (held > EDGES_MAX / 2) for (const name of ['oldest', 'count', 'numbered']) cpu.data[at(name)] = 0;
  }
  yield {
    what: `Edges at ${tried === TURN ? 'every one' : tried} of the counter's ${TURN} counts: off by a turn or missing`,
    wanted: '0, 0',
    found: `${wrong}, ${missing}`,
    reached: wrong === 0 && missing === 0,
  };
}

/** @param hours  how many of a day's hours are looked at; what lies between is skipped by setting the count on */
export function* dayRows(firmware: Firmware, hours: readonly number[]): Generator<Row> {
  const overflowsAnHour = Math.floor((3600 * 16_000_000) / TURN);
  let [tried, slipped] = [0, 0];
  for (const hour of hours) {
    const edges: PlacedEdge[] = Array.from({ length: 24 }, (_, i) => ({
      cycle: FIRST_CYCLE + 10_007 * (i + 1),
      input: 1 + ((i >> 1) % 4),
      active: i % 2 === 0,
    }));
    const run = runEdges({ firmware, edges, overflows: hour * overflowsAnHour - 4 + (hour === 0 ? 4 : 0), seed: hour });
    tried += edges.length;
    slipped += edges.filter(({ cycle }, i) => run.told[i]?.cycle !== cycle).length;
  }
  yield {
    what: `A day of ticks, looked at in ${hours.length} places up to hour ${hours.at(-1) ?? 0}: of ${tried} edges, stamps that slipped`,
    wanted: '0',
    found: `${slipped}`,
    reached: slipped === 0,
  };
}
