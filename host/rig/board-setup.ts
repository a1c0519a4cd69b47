/** Boards and instruments, as the rig file describes them. */
import type { UncertainSi } from './uncertain-si.ts';

interface BoardBase {
  readonly name: string;
  readonly baudRate: number;
  /** An explicit path (a pseudo-terminal, /dev/serial/by-id/…), relative to the rig file's folder. Given, or a serial number. */
  readonly path?: string;
  /** Of the USB device: the port is found by it, whatever its path. */
  readonly serialNumber?: string;
}

/** What a board's time stamps are good for, beside the tick. */
export interface StampSetup {
  /** From the change at its pin to the stamp, against other inputs and boards: its value is subtracted, its uncertainty counts in full. */
  readonly delayS: UncertainSi;
  /** Standard deviation from stamp to stamp, s. */
  readonly jitterS: number;
}

/** Speaks the gate-board wire (docs/protocol.md). */
export interface GateBoardSetup extends BoardBase {
  readonly kind: 'gate-board';
  /** The identity that its HELLO must give; undefined = any board. */
  readonly boardId?: string;
  readonly tickRateHz: UncertainSi;
  /** Of the edges that it says were stamped by capture hardware. */
  readonly capture: StampSetup;
  /** Of those stamped by its program: an interrupt, a polling loop. */
  readonly software: StampSetup;
  /** Of its converter's counts: 8 to 16. */
  readonly analogBits: number;
}

/** Speaks Firmata; hands over counts of its analog pins, and K, Pa and 1 of a BME280 on its I2C bus. */
export interface FirmataSetup extends BoardBase {
  readonly kind: 'firmata';
  readonly bme280Address?: 0x76 | 0x77;
  /** 0.01 to 1 s. */
  readonly samplingIntervalS: number;
  /** 8 to 14. */
  readonly analogBits: number;
}

/** How a line's numbers are found in it. */
export type TextLayout =
  | { readonly by: 'pattern' /** In RE2 syntax, with named groups. */; readonly pattern: string }
  | {
      readonly by: 'columns';
      /** In their order; undefined for one that is passed over. */
      readonly columns: readonly (string | undefined)[];
      readonly separator: string;
    };

/** Prints lines of text. */
export interface TextSetup extends BoardBase {
  readonly kind: 'text';
  readonly layout: TextLayout;
  /** What the instrument must be asked, without the CR LF that is sent after it. */
  readonly poll?: { readonly text: string; readonly everyS: number };
}

export type BoardSetup = GateBoardSetup | FirmataSetup | TextSetup;

/** Of a gate board's counts, where the rig file does not say. */
export const GATE_BOARD_ANALOG_BITS = 16;
/** A0 to A15. */
export const ANALOG_PINS = 16;
export const BME280_VALUES = ['temperature', 'pressure', 'humidity'] as const;

/** The largest count that the board's converter gives; undefined for an instrument that tells its values as they are. */
export function fullScaleOf(board: BoardSetup): number | undefined {
  return board.kind === 'text' ? undefined : 2 ** board.analogBits - 1;
}
