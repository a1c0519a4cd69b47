/** What a Firmata link is told of its board, and its times. */
import type { KeeperTiming } from './port-keeper.ts';

export interface FirmataSetup {
  /** The board's name in the rig file; the source of its records. */
  readonly name: string;
  readonly path: string;
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

export interface FirmataTiming extends KeeperTiming {
  /** A question is asked again after so long, and all of them together have so long. */
  readonly askMs: number;
  readonly answerMs: number;
  /** For one answer from the two-wire bus. */
  readonly i2cMs: number;
  readonly weatherMs: number;
  /** A pin or sensor that says nothing for so long is set up again; after twice as long, or a board after once, the port is opened again. */
  readonly silenceMs: number;
  /** Faults of the line are told at most so often. */
  readonly faultsToldMs: number;
}

export const FIRMATA_TIMING: FirmataTiming = {
  askMs: 150,
  // A board that starts anew when its port is opened needs some two seconds for it.
  answerMs: 5000,
  i2cMs: 500,
  weatherMs: 1000,
  silenceMs: 3000,
  retryMs: [200, 2000],
  lookMs: 100,
  faultsToldMs: 10_000,
};
