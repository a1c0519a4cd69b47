/**
 * A 16-bit timer at the full clock: count, overflow, input capture, compare B against a top in A. The count is worked out
 * from the cycle counter; there is one event a turn. One TEMP register serves all of the timer's 16-bit registers, so that
 * a read that an interrupt breaks into shows up here as it would on the chip.
 * The capture unit is our reading of the data sheet, not a proof about silicon: it sees its pin three cycles late
 * (2.5 to 3.5 there), it latches whatever its flag says, and the edge it waits for is the one selected at that moment.
 * The flag is to be cleared after each choice of the edge, says the data sheet: here each choice raises it.
 */
import type { Chip, Interrupt } from './chip.ts';
import type { TimerRegisters } from './registers.ts';

const CAPTURE = 0x20;
const COMPARE_B = 0x04;
const OVERFLOW = 0x01;
const RISING = 0x40;
const CLEAR_ON_TOP = 0x08;
const CLOCK = 0x07;
export const CAPTURE_DELAY_CYCLES = 3;

export interface Timer {
  /** The capture pin's new level at a cycle. */
  setCapturePin(level: boolean, cycle: number): void;
  /** Told when the compare flag rises, and at which cycle. */
  onCompareB(listener: (cycle: number) => void): void;
  /** Puts the count elsewhere, as if it had run there: what is due at the next wrap moves with it. */
  setCount(count: number): void;
  count(): number;
}

export function createTimer(chip: Chip, registers: TimerRegisters): Timer {
  const { cpu } = chip;
  const { tccrb, tcnt, icr, ocra, ocrb, timsk, tifr } = registers;
  const interrupt = (address: number, mask: number): Interrupt => ({
    address,
    enableRegister: timsk,
    enableMask: mask,
    flagRegister: tifr,
    flagMask: mask,
  });
  const capture = interrupt(registers.captureVector, CAPTURE);
  const overflow = interrupt(registers.overflowVector, OVERFLOW);

  let stopped = 0;
  let base: number | undefined;
  let run = 0;
  let temp = 0;
  let captured = 0;
  let listener: (cycle: number) => void = () => undefined;
  const word = (address: number): number => (cpu.data[address] ?? 0) | ((cpu.data[address + 1] ?? 0) << 8);
  const turn = (): number => ((cpu.data[tccrb] ?? 0) & CLEAR_ON_TOP ? word(ocra) + 1 : 0x1_0000);
  const count = (cycle = cpu.cycles): number => (base === undefined ? stopped : (cycle - base) % turn());

  const isFlagged = (mask: number): boolean => ((cpu.data[tifr] ?? 0) & mask) !== 0;
  const everyTurn = (atCount: number, act: (cycle: number) => void): void => {
    const mine = run;
    const again = (from: number): void =>
      chip.at(from, () => {
        if (mine !== run) return;
        act(from);
        again(from + turn());
      });
    const start = (base ?? 0) + atCount;
    const turnsPast = Math.max(Math.floor((cpu.cycles - start) / turn()) + 1, 0);
    again(start + turnsPast * turn());
  };
  const go = (from: number): void => {
    run += 1;
    base = cpu.cycles - from;
    if (turn() === 0x1_0000) everyTurn(0x1_0000, () => cpu.setInterruptFlag(overflow));
    else {
      everyTurn(word(ocrb), (cycle) => {
        const wasFlagged = isFlagged(COMPARE_B);
        cpu.data[tifr] = (cpu.data[tifr] ?? 0) | COMPARE_B;
        if (!wasFlagged) listener(cycle);
      });
    }
  };

  chip.onReset(() => {
    run += 1;
    [stopped, base, temp, captured] = [0, undefined, 0, 0];
  });
  const isArmedFor = (level: boolean): boolean => level === (((cpu.data[tccrb] ?? 0) & RISING) !== 0);
  const latch = (at: number): void => {
    captured = count(at);
    cpu.setInterruptFlag(capture);
  };
  chip.onWrite(tccrb, (value) => {
    const wasRunning = base !== undefined;
    const from = count();
    const isOtherEdge = (((cpu.data[tccrb] ?? 0) ^ value) & RISING) !== 0;
    cpu.data[tccrb] = value;
    if (wasRunning && isOtherEdge) latch(cpu.cycles);
    if ((value & CLOCK) > 1) throw new Error(`timer ${tccrb.toString(16)}: only the full clock is modelled`);
    if ((value & CLOCK) === 1 && !wasRunning) go(from);
  });
  chip.onRead(tcnt, () => {
    temp = count() >> 8;
    return count() & 0xff;
  });
  chip.onRead(tcnt + 1, () => temp);
  chip.onRead(icr, () => {
    temp = captured >> 8;
    return captured & 0xff;
  });
  chip.onRead(icr + 1, () => temp);
  chip.onWrite(tcnt + 1, (value) => {
    temp = value;
  });
  chip.onWrite(tcnt, (value) => {
    if (base !== undefined) go((temp << 8) | value);
    else stopped = (temp << 8) | value;
  });
  chip.clearsByOnes(tifr, [capture, overflow]);
  chip.enables(timsk, [capture, overflow]);

  return {
    setCapturePin: (level, cycle) =>
      chip.at(cycle + CAPTURE_DELAY_CYCLES, (now) => {
        if (base !== undefined && isArmedFor(level)) latch(now);
      }),
    onCompareB: (next) => {
      listener = next;
    },
    setCount: (to) => go(to),
    count: () => count(),
  };
}
