/** Edges at exact cycles of the flashable board's own clock, with the line as busy as it gets, and what the board made of them. */
import { type AvrBoardOptions, CAPTURE_DELAY_CYCLES, type Firmware } from '../../firmware-sim/avr/bench/index.ts';
import type { Edge } from '../../protocol/index.ts';
import { flashableBench, linesOf, type ReceivedLine } from './board-benches.ts';

export interface PlacedEdge {
  /** Of the chip, from its start. */
  readonly cycle: number;
  readonly input: number;
  readonly active: boolean;
}

/** An edge as the board tells it, with the moment in the chip's cycles at which its pin must have moved. */
export interface ToldEdge extends PlacedEdge {
  readonly hardwareTimed: boolean;
}

export interface EdgeRun {
  readonly edges: readonly PlacedEdge[];
  readonly told: readonly ToldEdge[];
  readonly captured: number;
  readonly lost: number;
  readonly lines: readonly ReceivedLine[];
  /** Share of the time in which the line was sending. */
  readonly lineLoad: number;
}

export interface EdgeRunOptions {
  readonly firmware: Firmware;
  /** In the order of cycles, from FIRST_CYCLE on; or made from the cycle at which the board's count was 0. */
  readonly edges: readonly PlacedEdge[] | ((zeroAt: number) => readonly PlacedEdge[]);
  /** What the count's high part is set to first, in overflows; left out: as it is. */
  readonly overflows?: number;
  readonly seed?: number;
  /** A host that asks for the newest frames again all the time, more than the line can carry: samples then wait, and go unsent. */
  readonly asksAgain?: boolean;
  readonly wiring?: AvrBoardOptions['wiring'];
}

const STEP_CYCLES = 40_000;
const ACKNOWLEDGED_AT_ONCE = 12;
/** For what still waits after the last edge. */
const DRAIN_CYCLES = 1_600_000;

/** By then the board is up and samples. */
export const FIRST_CYCLE = 1_000_000;

export function runEdges({ firmware, edges: wanted, overflows, seed = 1, asksAgain = true, wiring = 'xor' }: EdgeRunOptions): EdgeRun {
  const bench = flashableBench(firmware.program, seed, { tickRateErrorPpmMax: 0.3, wiring });
  const { chip, timers, setAt, timeOf } = bench.board.bench;
  const { cpu } = chip;
  const at = (name: string): number => {
    const address = firmware.variables.get(name);
    if (address === undefined) throw new Error(`the firmware has no variable ${name}`);
    return address;
  };
  const lines: ReceivedLine[] = [...bench.advance(timeOf(FIRST_CYCLE - 2 * STEP_CYCLES))];
  if (overflows !== undefined) cpu.dataView.setUint32(at('ticks_overflows'), overflows, true);
  // The count and the cycles differ by what the start took, and by the turns that were set.
  const turns = cpu.dataView.getUint32(at('ticks_overflows'), true);
  const zeroAt = cpu.cycles - timers.five.count() - turns * 65_536;
  const edges = typeof wanted === 'function' ? wanted(zeroAt) : wanted;
  for (const { cycle, input, active } of edges) setAt(cycle, input, active);

  const bootId = linesOf(lines, 'HELLO')[0]?.bootId ?? 0;
  const startS = lines.at(-1)?.timeS ?? 0;
  const endAt = (edges.at(-1)?.cycle ?? FIRST_CYCLE) + DRAIN_CYCLES;
  let held = 0;
  for (let cycle = FIRST_CYCLE - STEP_CYCLES; cycle < endAt; cycle += STEP_CYCLES) {
    const timeS = timeOf(cycle);
    const got = bench.advance(timeS);
    lines.push(...got);
    held += linesOf(got, 'EDGE').length;
    const newest = lines.at(-1)?.message.seq ?? 0;
    if (held >= ACKNOWLEDGED_AT_ONCE) {
      bench.say({ kind: 'ACK', bootId, upToSeq: newest }, timeS);
      held = 0;
    }
    // Something is always asked for again, so that the line never rests; then what is left over at the end can drain.
    if (asksAgain && cycle < endAt - DRAIN_CYCLES)
      bench.say({ kind: 'RESEND', bootId, fromSeq: Math.max(newest - 8, 0), toSeq: newest }, timeS);
    if (cycle % (10 * STEP_CYCLES) === 0) bench.say({ kind: 'PING', token: '0123456789ABCDEF' }, timeS);
  }
  const busyBytes = lines.filter(({ timeS }) => timeS > startS).reduce((sum, { line }) => sum + line.length + 1, 0);
  const seen = new Set<number>();
  return {
    edges,
    told: linesOf(lines, 'EDGE')
      .filter(({ seq }) => !seen.has(seq) && seen.add(seq))
      .map((edge) => toldOf(edge, zeroAt)),
    captured: cpu.dataView.getUint32(at('captured'), true),
    lost: cpu.dataView.getUint32(at('lost'), true),
    lines,
    lineLoad: busyBytes / 50_000 / ((lines.at(-1)?.timeS ?? 0) - startS),
  };
}

function toldOf({ input, active, ticks, hardwareTimed }: Edge, zeroAt: number): ToldEdge {
  return { input, active, hardwareTimed, cycle: ticks + zeroAt - (hardwareTimed ? CAPTURE_DELAY_CYCLES : 0) };
}

/** Errors in ticks of the edges that are told, each against the true edge of its input and level nearest to it. */
export function errorsOf(told: readonly ToldEdge[], edges: readonly PlacedEdge[]): readonly number[] {
  return told.map((one) => {
    const same = edges.filter(({ input, active }) => input === one.input && active === one.active);
    return same.reduce(
      (best, { cycle }) => (Math.abs(one.cycle - cycle) < Math.abs(best) ? one.cycle - cycle : best),
      Number.POSITIVE_INFINITY,
    );
  });
}
