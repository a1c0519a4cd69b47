/** What a Firmata link is told of its board, and its times. */
import { LINK_TIMING, type LinkTiming } from '../link-timing.ts';

export interface FirmataSetup {
  /** The board's name in the rig file; the source of its records. */
  readonly name: string;
  /** Needed unless there is a serial number. */
  readonly path?: string;
  readonly serialNumber?: string;
  readonly baudRate: number;
  /** Where a BME280 is fitted, its address on the two-wire bus: 0x76 or 0x77. */
  readonly bme280?: number;
  /** Channels A0 to A15 that are wanted. */
  readonly analogPins: readonly number[];
  /** Between two reports of a pin, ms, 10 to 1000. */
  readonly samplingIntervalMs: number;
  /** Of the board's converter; left out, the board is asked. */
  readonly analogBits?: number;
  /** The firmware's name, where only one will do. */
  readonly firmware?: string;
}

/**
 * A pin or sensor that says nothing for the link's silence is set up again; after twice as long, or a board after once,
 * the port is opened again.
 */
export interface FirmataTiming extends LinkTiming {
  /** A question is asked again after so long, and all of them together have so long: less than the link's proof. */
  readonly askMs: number;
  readonly answerMs: number;
  /** For one answer from the two-wire bus. */
  readonly i2cMs: number;
  readonly weatherMs: number;
  /** Over so long it is counted whether the line is noisy. */
  readonly noiseMs: number;
}

export const FIRMATA_TIMING: FirmataTiming = {
  ...LINK_TIMING,
  // A board that starts anew when its port is opened needs some two seconds for it.
  answerMs: 3800,
  askMs: 150,
  i2cMs: 500,
  weatherMs: 1000,
  noiseMs: 10_000,
};
