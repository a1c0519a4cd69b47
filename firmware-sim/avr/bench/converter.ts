/**
 * The converter, started by timer 1's compare B: hold two of its own cycles after the start, done after 13.5; the first
 * conversion after it is switched on takes 25 and holds at 13.5. Source: ATmega2560 data sheet, "ADC Conversion Time"
 */
import type { Chip, Interrupt } from './chip.ts';
import { REGISTER, VECTOR } from './registers.ts';
import type { Timer } from './timer.ts';

const ENABLED = 0x80;
const AUTOMATIC = 0x20;
const DONE = 0x10;
const SYNCHRONISING_CYCLES = 3;

/** @param read  counts of a channel at this cycle, 0 to 1023 */
export function createConverter(chip: Chip, timer: Timer, read: (channel: number, cycle: number) => number): void {
  const { cpu } = chip;
  const done: Interrupt = {
    address: VECTOR.ADC,
    enableRegister: REGISTER.ADCSRA,
    enableMask: 0x08,
    flagRegister: REGISTER.ADCSRA,
    flagMask: DONE,
  };
  let isFirst = true;
  let isConverting = false;
  chip.onReset(() => {
    [isFirst, isConverting] = [true, false];
  });
  chip.onWrite(REGISTER.ADCSRA, (value) => {
    const flag = (cpu.data[REGISTER.ADCSRA] ?? 0) & ~value & DONE;
    cpu.data[REGISTER.ADCSRA] = (value & ~DONE) | flag;
    cpu.updateInterruptEnable(done, value);
  });
  timer.onCompareB((from) => {
    const control = cpu.data[REGISTER.ADCSRA] ?? 0;
    if (isConverting || (control & (ENABLED | AUTOMATIC)) !== (ENABLED | AUTOMATIC)) return;
    const cycles = Math.max(1 << (control & 7), 2);
    const channel = (cpu.data[REGISTER.ADMUX] ?? 0) & 0x1f;
    const [holdAfter, doneAfter] = isFirst ? [13.5, 25] : [2, 13.5];
    [isFirst, isConverting] = [false, true];
    let counts = 0;
    chip.at(from + SYNCHRONISING_CYCLES + holdAfter * cycles, (now) => {
      counts = read(channel, now);
    });
    chip.at(from + SYNCHRONISING_CYCLES + doneAfter * cycles, () => {
      isConverting = false;
      cpu.data[REGISTER.ADCL] = counts & 0xff;
      cpu.data[REGISTER.ADCH] = counts >> 8;
      cpu.setInterruptFlag(done);
    });
  });
}
