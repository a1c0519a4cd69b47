/**
 * The plainest host of a simulated Firmata board, in virtual time: asks for its pins and its BME280 as the link does, and
 * makes readings of the bytes that come back. The link itself lives by timers and promises, which no virtual clock drives.
 */
import { type Bme280Words, compensate, parseCounts, parseWords } from '../../host/links/firmata/bme280-compensation.ts';

export interface VirtualFirmataSetup {
  readonly pins: readonly number[];
  readonly address: number;
  readonly samplingMs: number;
}

/** Range time; the words have come by then. */
const FIRST_MEASURED_S = 0.2;
const WEATHER_EVERY_S = 1;
const MEASURING_S = 0.08;
const REGISTER = { words1: 0x88, wordH1: 0xa1, words2: 0xe1, ctrlHum: 0xf2, ctrlMeas: 0xf4 } as const;
const I2C = { write: 0, readOnce: 1 } as const;

const pairs = (values: readonly number[]): readonly number[] => values.flatMap((value) => [value & 0x7f, value >> 7]);
const sysex = (...body: readonly number[]): readonly number[] => [0xf0, ...body, 0xf7];

export class VirtualFirmata {
  readonly #setup: VirtualFirmataSetup;
  readonly #answers = new Map<number, Uint8Array>();
  #words: Bme280Words | undefined;
  #message: number[] = [];
  #measureAtS = FIRST_MEASURED_S;
  #readAtS = Number.POSITIVE_INFINITY;

  constructor(setup: VirtualFirmataSetup) {
    this.#setup = setup;
  }

  /** What is said once the port is open. */
  opening(): Uint8Array {
    const { pins, samplingMs } = this.#setup;
    const words = [
      [REGISTER.words1, 24],
      [REGISTER.wordH1, 1],
      [REGISTER.words2, 7],
    ] as const;
    return Uint8Array.from([
      ...sysex(0x7a, ...pairs([samplingMs])),
      ...pins.flatMap((pin) => [0xc0 | pin, 1]),
      ...sysex(0x78),
      ...words.flatMap((read) => this.#i2c(I2C.readOnce, read)),
      ...this.#i2c(I2C.write, [REGISTER.ctrlHum, 0x03]),
    ]);
  }

  /** What is to be said by now, if anything. */
  due(nowS: number): Uint8Array | undefined {
    if (nowS >= this.#readAtS) {
      this.#readAtS = Number.POSITIVE_INFINITY;
      return Uint8Array.from(this.#i2c(I2C.readOnce, [REGISTER.ctrlHum, 13]));
    }
    if (nowS < this.#measureAtS) return undefined;
    this.#measureAtS += WEATHER_EVERY_S;
    this.#readAtS = nowS + MEASURING_S;
    return Uint8Array.from(this.#i2c(I2C.write, [REGISTER.ctrlMeas, 0x75]));
  }

  /** @returns the values of `reading` records, in order */
  take(bytes: Uint8Array): readonly Readonly<Record<string, number>>[] {
    const found: Readonly<Record<string, number>>[] = [];
    for (const byte of bytes) {
      const value = this.#takeByte(byte);
      if (value) found.push(value);
    }
    return found;
  }

  #i2c(mode: number, values: readonly number[]): readonly number[] {
    return sysex(0x76, this.#setup.address, mode << 3, ...pairs(values));
  }

  #takeByte(byte: number): Readonly<Record<string, number>> | undefined {
    if (byte >= 0x80 && byte !== 0xf7) this.#message = [];
    this.#message.push(byte);
    const [command = 0, low = 0, high = 0] = this.#message;
    if (command >> 4 === 0xe && this.#message.length === 3) return { [`A${command & 0x0f}`]: low | (high << 7) };
    return byte === 0xf7 && low === 0x77 ? this.#takeI2c(this.#message.slice(2, -1)) : undefined;
  }

  #takeI2c(body: readonly number[]): Readonly<Record<string, number>> | undefined {
    const [, register = 0, ...bytes] = body.flatMap((low, i) => (i % 2 === 0 ? [low | ((body[i + 1] ?? 0) << 7)] : []));
    if (register === REGISTER.ctrlHum && this.#words) {
      const { temperatureC, pressurePa, humidityPercent } = compensate(parseCounts(Uint8Array.from(bytes.slice(5))), this.#words);
      return { temperature: temperatureC + 273.15, pressure: pressurePa, humidity: Math.min(Math.max(humidityPercent, 0), 100) / 100 };
    }
    this.#answers.set(register, Uint8Array.from(bytes));
    const [from88, fromA1, fromE1] = [REGISTER.words1, REGISTER.wordH1, REGISTER.words2].map((at) => this.#answers.get(at));
    if (from88 && fromA1 && fromE1) this.#words = parseWords(from88, fromA1[0] ?? 0, fromE1);
    return undefined;
  }
}
