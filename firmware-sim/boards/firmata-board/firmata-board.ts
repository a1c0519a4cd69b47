/**
 * A board that runs the common Firmata firmware: analog pins reported every sampling interval, and a two-wire bus for
 * its host. Bytes in, bytes out; time, volts and sensors are handed to it, so a run repeats to the byte.
 *
 * Source of its behaviour: the StandardFirmata sketch (github.com/firmata/arduino), read. Not in it: digital pins, servos,
 * and the sharing of A4 and A5 with the bus, which has pins of its own here.
 */
import type { TimedBytes } from '../gate-board.ts';
import { createI2cBus, type I2cDevice } from './i2c-bus.ts';
import { createMessageReader, type HostMessage, type MessageReader } from './message-reader.ts';
import {
  analogMappingReply,
  analogReport,
  capabilityReply,
  firmwareReply,
  i2cReply,
  PIN_MODE,
  stringReply,
  versionReply,
} from './replies.ts';

export interface FirmataBoardOptions {
  readonly firmwareName: string;
  readonly baudRate: number;
  /** Volts at A0, A1 …, by range time; at most 16. Pins without one, up to A5, lie at 0 V. */
  readonly analogVolts?: readonly ((timeS: number) => number)[];
  readonly referenceVolts?: number;
  /** Of the converter; a report carries 14 at most. */
  readonly analogBits?: 10 | 12 | 14;
  readonly i2cDevices?: readonly I2cDevice[];
  /** Says version and firmware at its start, unasked. */
  readonly announces?: boolean;
}

export interface FirmataBoard {
  /** Host bytes that have arrived by this time; earlier moments are caught up on first. */
  receive(bytes: Uint8Array, timeS: number): void;
  /** @returns messages that have left the board by this time, one chunk each */
  advanceTo(timeS: number): readonly TimedBytes[];
  /** As after a loss of power. */
  restart(timeS: number): void;
}

/** Bounds of the board's memory, those of the sketch where it has one. */
export const FIRMATA_BOARD = {
  i2cReadsMax: 8,
  /** Of one read; the bus library's buffer. */
  i2cBytesMax: 32,
  /** Waiting for the line; the program stands still until there is room. */
  sendBufferBytes: 64,
  /** Answers waiting for the line. Beyond it what the host says is lost, as in a receive buffer that nobody reads. */
  answerBytesMax: 2048,
  samplingMs: { first: 19, least: 1 },
  digitalPins: 14,
  analogPinsLeast: 6,
} as const;

interface I2cRead {
  readonly address: number;
  readonly register: number | undefined;
  readonly count: number;
}

interface Life {
  readonly reader: MessageReader;
  readonly reporting: ReadonlySet<number>;
  readonly reads: readonly I2cRead[];
  readonly i2cOn: boolean;
  readonly intervalS: number;
  readonly nextSampleS: number;
}

export function createFirmataBoard(options: FirmataBoardOptions): FirmataBoard {
  const { firmwareName, analogVolts = [], referenceVolts = 5, analogBits = 10, announces = true } = options;
  const bus = createI2cBus(options.i2cDevices ?? []);
  const bytesPerS = options.baudRate / 10;
  const analogPins = Math.min(Math.max(FIRMATA_BOARD.analogPinsLeast, analogVolts.length), 16);
  let nowS = 0;
  let lineFreeAtS = 0;
  let leaving: readonly TimedBytes[] = [];
  let life = startLife(0);

  function startLife(timeS: number): Life {
    const intervalS = FIRMATA_BOARD.samplingMs.first / 1000;
    const fresh = { reporting: new Set<number>(), reads: [], i2cOn: false, intervalS, nextSampleS: timeS + intervalS };
    return { reader: createMessageReader(), ...fresh };
  }

  const say = (bytes: Uint8Array): void => {
    lineFreeAtS = Math.max(lineFreeAtS, nowS) + bytes.length / bytesPerS;
    leaving = [...leaving, { timeS: lineFreeAtS, bytes }];
  };
  const waitingBytes = (): number => Math.max(lineFreeAtS - nowS, 0) * bytesPerS;

  const announce = (): void => {
    say(versionReply());
    say(firmwareReply(firmwareName));
  };

  const reportAnalog = (channel: number): void => {
    const fullScale = 2 ** analogBits - 1;
    const counts = Math.floor(((analogVolts[channel]?.(nowS) ?? 0) / referenceVolts) * (fullScale + 1));
    say(analogReport(channel, Math.min(Math.max(counts, 0), fullScale)));
  };

  const readI2c = ({ address, register, count }: I2cRead): void => {
    if (register !== undefined) bus.write(address, Uint8Array.of(register), nowS);
    const bytes = bus.read(address, Math.min(count, FIRMATA_BOARD.i2cBytesMax), nowS);
    if (bytes.length < count) say(stringReply('I2C: Too few bytes received'));
    say(i2cReply(address, register ?? 0, bytes));
  };

  const sample = (): void => {
    for (const channel of [...life.reporting].sort((a, b) => a - b)) reportAnalog(channel);
    for (const read of life.reads) readI2c(read);
    const roomAtS = lineFreeAtS - FIRMATA_BOARD.sendBufferBytes / bytesPerS;
    life = { ...life, nextSampleS: Math.max(life.nextSampleS + life.intervalS, roomAtS) };
  };

  const actI2c = ([address = 0, mode = 0, ...pairs]: readonly number[]): void => {
    if (!life.i2cOn) return;
    const values = pairs.flatMap((low, i) => (i % 2 === 0 ? [(low | ((pairs[i + 1] ?? 0) << 7)) & 0xff] : []));
    const kind = (mode >> 3) & 3;
    const read = { address, register: values.length > 1 ? values[0] : undefined, count: values.at(-1) ?? 0 };
    if (kind === 0) bus.write(address, Uint8Array.from(values), nowS);
    else if (kind === 1) readI2c(read);
    else if (kind === 3) life = { ...life, reads: life.reads.filter((other) => other.address !== address) };
    else if (life.reads.length >= FIRMATA_BOARD.i2cReadsMax) say(stringReply('too many queries'));
    else life = { ...life, reads: [...life.reads, read] };
  };

  const answerCapabilities = (): void => {
    const digital = [PIN_MODE.input, PIN_MODE.output, PIN_MODE.pullUp].map((mode) => [mode, 1] as const);
    const pins = Array.from({ length: FIRMATA_BOARD.digitalPins + analogPins }, (_, pin) =>
      pin < FIRMATA_BOARD.digitalPins ? digital : [...digital, [PIN_MODE.analog, analogBits] as const],
    );
    say(capabilityReply([...pins, [[PIN_MODE.i2c, 1]], [[PIN_MODE.i2c, 1]]]));
  };

  const answerMapping = (): void => {
    const digital = new Array<undefined>(FIRMATA_BOARD.digitalPins).fill(undefined);
    say(analogMappingReply([...digital, ...Array.from({ length: analogPins }, (_, channel) => channel), undefined, undefined]));
  };

  const actSysex = (command: number, data: readonly number[]): void => {
    if (command === 0x79) say(firmwareReply(firmwareName));
    else if (command === 0x6b) answerCapabilities();
    else if (command === 0x69) answerMapping();
    else if (command === 0x78) life = { ...life, i2cOn: true };
    else if (command === 0x76) actI2c(data);
    else if (command === 0x7a && data.length === 2) {
      const intervalMs = (data[0] as number) | ((data[1] as number) << 7);
      life = { ...life, intervalS: Math.max(intervalMs, FIRMATA_BOARD.samplingMs.least) / 1000 };
    }
  };

  const setReporting = ({ channel, on }: { readonly channel: number; readonly on: boolean }): void => {
    if (channel >= analogPins) return;
    life = { ...life, reporting: new Set([...life.reporting].filter((other) => other !== channel).concat(on ? [channel] : [])) };
    if (on) reportAnalog(channel);
  };

  const act = (message: HostMessage): void => {
    if (waitingBytes() > FIRMATA_BOARD.answerBytesMax) return;
    if (message.kind === 'version') say(versionReply());
    else if (message.kind === 'sysex') actSysex(message.command, message.data);
    else if (message.kind === 'report-analog') setReporting(message);
    else {
      life = { ...startLife(nowS), reader: life.reader };
      announce();
    }
  };
  const run = (untilS: number): void => {
    while (life.nextSampleS <= untilS) {
      nowS = Math.max(nowS, life.nextSampleS);
      sample();
    }
    nowS = Math.max(nowS, untilS);
  };

  if (announces) announce();
  return {
    receive: (bytes, timeS) => {
      run(timeS);
      for (const message of life.reader.push(bytes)) act(message);
    },
    advanceTo: (timeS) => {
      run(timeS);
      const gone = leaving.filter((chunk) => chunk.timeS <= timeS);
      leaving = leaving.filter((chunk) => chunk.timeS > timeS);
      return gone;
    },
    restart: (timeS) => {
      run(timeS);
      leaving = leaving.filter((chunk) => chunk.timeS <= timeS);
      lineFreeAtS = timeS;
      life = startLife(timeS);
      if (announces) announce();
    },
  };
}
