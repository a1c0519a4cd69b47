/** The serial unit, 8N1 at the doubled rate: shift register and buffer on the way out, two bytes and the shift register on the way in. */
import type { Chip, Interrupt } from './chip.ts';
import { REGISTER, VECTOR } from './registers.ts';

const RECEIVED = 0x80;
const SENT = 0x40;
const EMPTY = 0x20;
const OVERRUN = 0x08;
const BITS = 10;
const WAITING_MAX = 3;

export interface Usart {
  /** A byte whose stop bit has just come. */
  receive(byte: number): void;
  /** Cycles that a byte takes at the rate that the program has set. */
  byteCycles(): number;
}

/** @param onByte  told at the end of each byte's stop bit */
export function createUsart(chip: Chip, onByte: (byte: number, cycle: number) => void): Usart {
  const { cpu } = chip;
  const received: Interrupt = {
    address: VECTOR.USART0_RX,
    enableRegister: REGISTER.UCSR0B,
    enableMask: 0x80,
    flagRegister: REGISTER.UCSR0A,
    flagMask: RECEIVED,
    constant: true,
  };
  let waiting: number[] = [];
  let overrun = false;
  let shifting: number | undefined;
  let next: number | undefined;
  const setStatus = (mask: number, on: boolean): void => {
    const status = cpu.data[REGISTER.UCSR0A] ?? 0;
    cpu.data[REGISTER.UCSR0A] = on ? status | mask : status & ~mask;
  };
  const byteCycles = (): number => BITS * 8 * ((cpu.data[REGISTER.UBRR0L] ?? 0) + 1);

  const shift = (byte: number, from: number): void => {
    shifting = byte;
    chip.at(from + byteCycles(), (now) => {
      shifting = undefined;
      onByte(byte, now);
      if (next === undefined) return setStatus(SENT, true);
      const following = next;
      next = undefined;
      setStatus(EMPTY, true);
      shift(following, now);
    });
  };

  chip.onReset(() => {
    [waiting, overrun, shifting, next] = [[], false, undefined, undefined];
    setStatus(EMPTY, true);
  });
  chip.onWrite(REGISTER.UDR0, (byte) => {
    if (shifting === undefined) shift(byte, cpu.cycles);
    else {
      next = byte;
      setStatus(EMPTY, false);
    }
  });
  chip.onWrite(REGISTER.UCSR0A, (value) => {
    const kept = (cpu.data[REGISTER.UCSR0A] ?? 0) & (RECEIVED | EMPTY | OVERRUN | (value & SENT ? 0 : SENT));
    cpu.data[REGISTER.UCSR0A] = kept | (value & 0x03);
  });
  chip.onRead(REGISTER.UDR0, () => {
    const byte = waiting.shift() ?? 0;
    setStatus(OVERRUN, false);
    if (waiting.length === 0) cpu.clearInterrupt(received);
    else if (waiting.length === 1 && overrun) {
      setStatus(OVERRUN, true);
      overrun = false;
    }
    return byte;
  });
  chip.enables(REGISTER.UCSR0B, [received]);

  return {
    byteCycles,
    receive: (byte) => {
      if (((cpu.data[REGISTER.UCSR0B] ?? 0) & 0x10) === 0) return;
      if (waiting.length >= WAITING_MAX) {
        overrun = true;
        return;
      }
      waiting.push(byte);
      cpu.setInterruptFlag(received);
    },
  };
}
