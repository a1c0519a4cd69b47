/**
 * An ATmega2560 that runs a program cycle by cycle: avr8js's processor, and around it our own peripherals, because the
 * library has no input capture and is not exact in cycles around interrupts. Put right here, from outside:
 * - an interrupt is entered in 5 cycles (22-bit program counter), not 2;
 * - after SEI and RETI one more instruction runs before the next interrupt;
 * - all events that are due happen, not one an instruction.
 * Source: ATmega2560 data sheet, "Reset and Interrupt Handling"
 */
import { avrInstruction, avrInterrupt, CPU } from 'avr8js';
import { IO_REGISTERS, REGISTER } from './registers.ts';
import { createSchedule, type Schedule } from './schedule.ts';

const FLASH_WORDS = 0x2_0000;
const SRAM_BYTES = 8192;
/** The library counts registers up to 0xff as its own; the chip's reach to 0x1ff. */
const MORE_REGISTERS = 0x100;
const INTERRUPT_CYCLES_MORE = 3;
const SEI = 0x9478;
const RETI = 0x9518;
/** Bits of MCUSR. */
export const RESET_FLAG = { power: 1, external: 2, watchdog: 8 } as const;

/** An interrupt's vector, and the bits that raise and allow it. */
export type Interrupt = Parameters<CPU['setInterruptFlag']>[0];

export interface Chip {
  readonly cpu: CPU;
  /** Outside events: they outlive a reset. */
  readonly schedule: Schedule;
  /** A peripheral's event, told its own cycle: the instruction that runs meanwhile may end later. A reset takes it back. */
  at(cycle: number, act: (cycle: number) => void): void;
  onReset(reset: () => void): void;
  /** A register that the processor writes: the hook says what becomes of it. */
  onWrite(address: number, write: (value: number) => void): void;
  onRead(address: number, read: () => number): void;
  /** Flags that are cleared by writing ones, and nothing else. */
  clearsByOnes(address: number, interrupts: readonly Interrupt[]): void;
  enables(address: number, interrupts: readonly Interrupt[]): void;
  reset(flag: number): void;
  runTo(cycle: number): void;
}

/** @param program  flash as words, from address 0 */
export function createChip(program: Uint16Array): Chip {
  const flash = new Uint16Array(FLASH_WORDS).fill(0xffff);
  flash.set(program);
  const cpu = new CPU(flash, SRAM_BYTES + MORE_REGISTERS);
  const schedule = createSchedule();
  const resets: (() => void)[] = [];
  let life = 0;

  const chip: Chip = {
    cpu,
    schedule,
    at: (cycle, act) => {
      const mine = life;
      schedule.at(cycle, (now) => {
        if (mine === life) act(now);
      });
    },
    onReset: (reset) => void resets.push(reset),
    onWrite: (address, write) => {
      cpu.writeHooks[address] = (value) => {
        write(value);
        return true;
      };
    },
    onRead: (address, read) => {
      cpu.readHooks[address] = read;
    },
    clearsByOnes: (address, interrupts) =>
      chip.onWrite(address, (value) => {
        cpu.data[address] = (cpu.data[address] ?? 0) & ~value;
        for (const interrupt of interrupts) cpu.clearInterruptByFlag(interrupt, value);
      }),
    enables: (address, interrupts) =>
      chip.onWrite(address, (value) => {
        cpu.data[address] = value;
        for (const interrupt of interrupts) cpu.updateInterruptEnable(interrupt, value);
      }),
    reset: (flag) => {
      life += 1;
      const causes = (cpu.data[REGISTER.MCUSR] ?? 0) | flag;
      cpu.data.fill(0, IO_REGISTERS[0], IO_REGISTERS[1] + 1);
      cpu.reset();
      cpu.data[REGISTER.MCUSR] = causes;
      for (const reset of resets) reset();
    },
    runTo: (cycle) => {
      while (cpu.cycles < cycle) {
        while (cpu.cycles < cycle && cpu.cycles < schedule.nextAt) {
          const opcode = flash[cpu.pc];
          avrInstruction(cpu);
          if (cpu.nextInterrupt >= 0 && opcode !== SEI && opcode !== RETI && cpu.interruptsEnabled) enter();
        }
        schedule.runDue(cpu.cycles);
      }
    },
  };

  const enter = (): void => {
    // What is due by now may bring an interrupt of higher rank.
    schedule.runDue(cpu.cycles);
    const interrupt = pendingOf(cpu)[cpu.nextInterrupt];
    if (!interrupt) return;
    avrInterrupt(cpu, interrupt.address);
    cpu.cycles += INTERRUPT_CYCLES_MORE;
    if (!interrupt.constant) cpu.clearInterrupt(interrupt);
  };
  return chip;
}

/** The library keeps them to itself, for its own loop, which is the one that ours stands for. */
function pendingOf(cpu: CPU): readonly (Interrupt | null)[] {
  return (cpu as unknown as { readonly pendingInterrupts: readonly (Interrupt | null)[] }).pendingInterrupts;
}
