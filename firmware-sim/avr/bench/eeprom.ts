/** The memory that outlives power-off. A write takes 3.4 ms. Source: ATmega2560 data sheet, "EEPROM Data Memory" */
import type { Chip } from './chip.ts';
import { REGISTER } from './registers.ts';

const READ = 0x01;
const WRITE = 0x02;
const MASTER = 0x04;
const WRITE_CYCLES = 54_400;

/** @param memory  4096 bytes; erased ones are 0xff */
export function createEeprom(chip: Chip, memory: Uint8Array): void {
  const { cpu } = chip;
  const address = (): number => ((cpu.data[REGISTER.EEARL] ?? 0) | ((cpu.data[REGISTER.EEARH] ?? 0) << 8)) % memory.length;
  chip.onWrite(REGISTER.EECR, (value) => {
    const before = cpu.data[REGISTER.EECR] ?? 0;
    if (value & READ && !(before & WRITE)) {
      cpu.data[REGISTER.EEDR] = memory[address()] ?? 0xff;
      cpu.cycles += 4;
    }
    if (value & WRITE && before & MASTER && !(before & WRITE)) {
      memory[address()] = cpu.data[REGISTER.EEDR] ?? 0;
      cpu.data[REGISTER.EECR] = WRITE;
      chip.at(cpu.cycles + WRITE_CYCLES, () => {
        cpu.data[REGISTER.EECR] = (cpu.data[REGISTER.EECR] ?? 0) & ~WRITE;
      });
      return;
    }
    cpu.data[REGISTER.EECR] = (before & WRITE) | (value & MASTER);
  });
}
