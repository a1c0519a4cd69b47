/** The watchdog: bites when the program has not been heard of for its time. After a bite it goes on running, at its shortest time. */
import { type Chip, RESET_FLAG } from './chip.ts';
import { REGISTER } from './registers.ts';

const ENABLED = 0x08;
const CHANGE = 0x10;
/** Cycles of the chip in 2048 of the watchdog's own 128 kHz. */
const SHORTEST_CYCLES = 2048 * 125;
const CHANGE_CYCLES = 6;

export function createWatchdog(chip: Chip): void {
  const { cpu } = chip;
  let heardAt = 0;
  let mayChangeUntil = -1;
  let isWatching = false;
  const periodCycles = (): number => {
    const control = cpu.data[REGISTER.WDTCSR] ?? 0;
    return SHORTEST_CYCLES << ((control & 7) | ((control & 0x20) >> 2));
  };
  const isOn = (): boolean => ((cpu.data[REGISTER.WDTCSR] ?? 0) & ENABLED) !== 0;
  const watch = (): void => {
    if (isWatching || !isOn()) return;
    isWatching = true;
    chip.at(heardAt + periodCycles(), () => {
      isWatching = false;
      if (!isOn()) return;
      if (cpu.cycles - heardAt >= periodCycles()) chip.reset(RESET_FLAG.watchdog);
      else watch();
    });
  };
  cpu.onWatchdogReset = () => {
    heardAt = cpu.cycles;
  };
  chip.onReset(() => {
    heardAt = cpu.cycles;
    isWatching = false;
    if ((cpu.data[REGISTER.MCUSR] ?? 0) & RESET_FLAG.watchdog) cpu.data[REGISTER.WDTCSR] = ENABLED;
    watch();
  });
  chip.onWrite(REGISTER.WDTCSR, (value) => {
    if (value & CHANGE && value & ENABLED) mayChangeUntil = cpu.cycles + CHANGE_CYCLES;
    else if (cpu.cycles <= mayChangeUntil) {
      const isForced = (cpu.data[REGISTER.MCUSR] ?? 0) & RESET_FLAG.watchdog;
      cpu.data[REGISTER.WDTCSR] = (value & 0x2f) | (isForced ? ENABLED : 0);
      heardAt = cpu.cycles;
      watch();
    }
  });
}
