/**
 * The flashable firmware on the bench: the very program that is flashed, behind the same face as the simulated gate board.
 * Bytes in, bytes out; inputs and time are handed to it, so a run repeats to the byte.
 */
import { type BoardClock, createBoardClock, drawClockError } from '../../boards/board-clock.ts';
import type { BoardInputs, TimedBytes } from '../../boards/gate-board.ts';
import { randomStream } from '../../world/random.ts';
import { type Chip, createChip, RESET_FLAG } from './chip.ts';
import { createConverter } from './converter.ts';
import { createEeprom } from './eeprom.ts';
import { createPins, type GateWiring, type Pins } from './pins.ts';
import { TIMER } from './registers.ts';
import { createTimer, type Timer } from './timer.ts';
import { createUsart } from './usart.ts';
import { createWatchdog } from './watchdog.ts';

export const AVR_TICK_RATE_HZ = 16_000_000;
/** `rjmp .-2`: where the processor goes when it is wedged. Flash beyond the program, its last word. */
const WEDGE_AT = 0x1_ffff;
const STAY_HERE = 0xcfff;
const COUNTS_MAX = 1023;

export interface AvrBoardOptions {
  readonly program: Uint16Array;
  readonly seed: number;
  readonly tickRateErrorPpmMax: number;
  readonly inputs: BoardInputs;
  /** Lives on from board to board, as the chip's own does; left out: as it comes from the factory. */
  readonly eeprom?: Uint8Array;
  /** Of the gates before the capture pins; the right one where left out. */
  readonly wiring?: GateWiring;
}

export interface AvrBoard {
  /** Host bytes that begin to arrive now: each takes its time on the line. */
  receive(bytes: Uint8Array, timeS: number): void;
  advanceTo(timeS: number): readonly TimedBytes[];
  /** Power off and on. */
  powerCycle(timeS: number): void;
  /** The program hangs, interrupts off, until the watchdog ends it. */
  wedge(timeS: number): void;
  /** For tests that aim at one cycle: an edge at it, and what the processor has counted. */
  readonly bench: AvrBench;
}

export interface AvrBench {
  readonly chip: Chip;
  readonly pins: Pins;
  readonly timers: { readonly four: Timer; readonly five: Timer };
  /** Sets an input at an exact cycle, not before now. */
  setAt(cycle: number, input: number, active: boolean): void;
  cycleAt(timeS: number): number;
  timeOf(cycle: number): number;
}

export function createAvrBoard(options: AvrBoardOptions): AvrBoard {
  const { inputs, eeprom = new Uint8Array(4096).fill(0xff) } = options;
  const error = drawClockError(randomStream(options.seed, 'avr-board'), options.tickRateErrorPpmMax);
  // The chip's cycles are the ticks of its quartz.
  const quartz: BoardClock = createBoardClock({ ...error, tickRateHz: AVR_TICK_RATE_HZ, startS: 0, startTicks: 0 });
  const program = new Uint16Array(WEDGE_AT + 1).fill(0xffff);
  program.set(options.program);
  program[WEDGE_AT] = STAY_HERE;

  const chip = createChip(program);
  const { cpu, schedule } = chip;
  const timers = { four: createTimer(chip, TIMER.four), five: createTimer(chip, TIMER.five) };
  const one = createTimer(chip, TIMER.one);
  const pins = createPins(chip, timers.four, timers.five, options.wiring);
  let leaving: TimedBytes[] = [];
  let text: number[] = [];
  const flush = (cycle: number): void => {
    if (text.length > 0) leaving.push({ timeS: quartz.timeOf(cycle), bytes: Uint8Array.from(text) });
    text = [];
  };
  const usart = createUsart(chip, (byte, cycle) => {
    text.push(byte);
    if (byte === 0x0a) flush(cycle);
  });
  createConverter(chip, one, (channel, cycle) =>
    Math.min(Math.max(Math.round(inputs.sampleCounts(channel, quartz.timeOf(cycle), 'slow')), 0), COUNTS_MAX),
  );
  createEeprom(chip, eeprom);
  createWatchdog(chip);
  chip.reset(RESET_FLAG.power);

  let rxFreeAt = 0;
  const setAt = (cycle: number, input: number, active: boolean): void =>
    schedule.at(Math.max(cycle, cpu.cycles), (now) => pins.set(input, active, now));
  const run = (timeS: number): void => {
    for (const edge of inputs.takeEdges(timeS)) setAt(quartz.ticksAt(edge.timeS), edge.input, edge.active);
    chip.runTo(quartz.ticksAt(timeS));
  };
  return {
    receive: (bytes, timeS) => {
      run(timeS);
      for (const byte of bytes) {
        rxFreeAt = Math.max(rxFreeAt, cpu.cycles) + usart.byteCycles();
        schedule.at(rxFreeAt, () => usart.receive(byte));
      }
    },
    advanceTo: (timeS) => {
      run(timeS);
      const gone = leaving.filter((chunk) => chunk.timeS <= timeS);
      leaving = leaving.filter((chunk) => chunk.timeS > timeS);
      return gone;
    },
    powerCycle: (timeS) => {
      run(timeS);
      flush(cpu.cycles);
      // What memory holds after power-up is anybody's guess.
      cpu.data.fill(0xa5, 0x200);
      chip.reset(RESET_FLAG.power);
    },
    wedge: (timeS) => {
      run(timeS);
      cpu.data[0x5f] = (cpu.data[0x5f] ?? 0) & 0x7f;
      cpu.pc = WEDGE_AT;
    },
    bench: { chip, pins, timers, setAt, cycleAt: quartz.ticksAt, timeOf: quartz.timeOf },
  };
}
