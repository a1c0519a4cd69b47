/** The board's inputs as the program sees them: levels, external-interrupt flags, and the two exclusive ors before the capture pins. */
import type { Chip, Interrupt } from './chip.ts';
import { REGISTER, VECTOR } from './registers.ts';
import type { Timer } from './timer.ts';

export const GATE_COUNT = 4;
const TRIGGER_PIN = 0x10;
const TRIGGER_FLAG = 0x10;

export interface Pins {
  /** @param input  0 the trigger, 1 to 4 a gate; beyond them nothing is wired */
  set(input: number, active: boolean, cycle: number): void;
}

/** How two gates come to one capture pin: as the board is to be wired, or as it must not be. */
export type GateWiring = 'xor' | 'or';

export function createPins(chip: Chip, odd: Timer, even: Timer, wiring: GateWiring = 'xor'): Pins {
  const { cpu } = chip;
  const trigger: Interrupt = {
    address: VECTOR.INT4,
    enableRegister: REGISTER.EIMSK,
    enableMask: TRIGGER_FLAG,
    flagRegister: REGISTER.EIFR,
    flagMask: TRIGGER_FLAG,
  };
  let gates = 0;
  let triggered = false;
  const show = (): void => {
    cpu.data[REGISTER.PIND] = gates;
    // Low while active.
    cpu.data[REGISTER.PINE] = triggered ? 0 : TRIGGER_PIN;
  };
  chip.clearsByOnes(REGISTER.EIFR, [trigger]);
  chip.enables(REGISTER.EIMSK, [trigger]);
  chip.onReset(show);

  return {
    set: (input, active, cycle) => {
      if (input === 0) {
        if (active === triggered) return;
        triggered = active;
        show();
        cpu.setInterruptFlag(trigger);
        return;
      }
      const bit = 1 << (input - 1);
      if (input > GATE_COUNT || active === ((gates & bit) !== 0)) return;
      gates ^= bit;
      show();
      cpu.data[REGISTER.EIFR] = (cpu.data[REGISTER.EIFR] ?? 0) | bit;
      // Each change of one of its two gates is a change of the exclusive or.
      const [first, second] = input % 2 === 1 ? [gates & 1, gates & 4] : [gates & 2, gates & 8];
      const level = wiring === 'xor' ? (first === 0) !== (second === 0) : (first | second) !== 0;
      (input % 2 === 1 ? odd : even).setCapturePin(level, cycle);
    },
  };
}
