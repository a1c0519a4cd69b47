/** What we use of two libraries that bring no types, or wrong ones. Import their default only: they are CommonJS. */
declare module 'firmata-io' {
  import type { EventEmitter } from 'node:events';

  export interface FirmataTransport extends EventEmitter {
    write(bytes: Buffer, callback?: (error?: Error | null) => void): boolean;
  }
  export interface FirmataPin {
    readonly supportedModes: readonly number[];
    /** 127: none. */
    readonly analogChannel?: number;
  }
  export class Firmata extends EventEmitter {
    constructor(transport: FirmataTransport, options: { readonly reportVersionTimeout: number; readonly skipCapabilities: boolean });
    readonly buffer: number[];
    readonly pins: FirmataPin[];
    readonly analogPins: number[];
    readonly firmware: { readonly name?: string; readonly version?: { readonly major: number; readonly minor: number } };
    readonly version: { readonly major?: number; readonly minor?: number };
    readonly RESOLUTION: { ADC: number | null };
    readonly reportVersionTimeoutId: NodeJS.Timeout;
    versionReceived: boolean;
    isReady: boolean;
    /** @throws TypeError where the board has no such channel */
    reportAnalogPin(channel: number, on: 0 | 1): void;
    i2cStop(address: number): void;
  }
  const library: { readonly Firmata: typeof Firmata };
  export default library;
}

declare module 'johnny-five' {
  import type { EventEmitter } from 'node:events';
  import type { Firmata } from 'firmata-io';

  export class Board extends EventEmitter {
    /** All boards ever made, kept by the library for ever. */
    static readonly cache: Board[];
    constructor(options: { readonly io: Firmata; readonly repl: false; readonly debug: false; readonly sigint: false });
    samplingInterval(intervalMs: number): this;
    i2cConfig(delayUs: number): this;
    i2cWrite(address: number, register: number, value: number): this;
    i2cReadOnce(address: number, register: number, count: number, done: (bytes: readonly number[]) => void): this;
  }
  export interface SensorDriver extends EventEmitter {}
  const five: {
    readonly Board: typeof Board;
    readonly IMU: { readonly Drivers: { get(board: Board, name: string, options: { readonly address: number }): SensorDriver } };
  };
  export default five;
}
