/**
 * Setting a BME280 up and measuring with it, one step at a time, over the board's two-wire bus.
 *
 * It measures only when told to (forced mode), and settings are read back with the counts: so a reading is never an old
 * one, a chip that has lost its power in between is found out, and the chip hardly warms itself.
 * Source of registers and bits: BME280 data sheet, section 5.4 (from memory; names as in Bosch Sensortec's `bme280_defs.h`).
 */
import { type Bme280Air, type Bme280Words, compensate, parseCounts, parseWords } from './bme280-compensation.ts';
import type { I2cRequests } from './i2c-requests.ts';
import { pause } from './waiting.ts';

const CHIP_ID = { bme280: 0x60, bmp280: 0x58 } as const;
const REGISTER = {
  words1: 0x88,
  wordH1: 0xa1,
  chipId: 0xd0,
  reset: 0xe0,
  words2: 0xe1,
  ctrlHum: 0xf2,
  status: 0xf3,
  ctrlMeas: 0xf4,
} as const;
const RESET_WORD = 0xb6;
/** Status bits: measuring, and copying the words after a reset. */
const BUSY = 0x09;
/** Four-fold humidity; four-fold temperature, sixteen-fold pressure. */
const HUMIDITY_X4 = 0x03;
const MEASURE = 0x74;
const FORCED = 0x01;
/** 57.6 ms at most with the above (data sheet, section 9.1, from memory); the rest is the board's. */
const MEASURING_MS = 80;
const TRIES = 3;
const SETTLE_MS = 20;
const SETTLE_TRIES = 50;

export interface SensorAt {
  readonly bus: I2cRequests;
  /** 0x76 or 0x77. */
  readonly address: number;
}

/** @returns the chip's calibration words, or what stands in the way, in one sentence; undefined upon the signal */
export async function setUpBme280(at: SensorAt, signal: AbortSignal): Promise<Bme280Words | string | undefined> {
  const { bus, address } = at;
  bus.begin(address);
  const id = await readChipId(at, signal);
  if (signal.aborted) return undefined;
  if (id !== CHIP_ID.bme280) return whyNot(id, at, signal);
  bus.write(address, REGISTER.reset, RESET_WORD);
  if (!(await hasSettled(at, signal)))
    return signal.aborted ? undefined : `the BME280 at ${hex(address)} does not come back from its reset; replace it`;
  const words = await readWords(at, signal);
  if (words === undefined)
    return signal.aborted ? undefined : `the BME280 at ${hex(address)} gives no calibration words; check its wiring, or replace it`;
  bus.write(address, REGISTER.ctrlHum, HUMIDITY_X4);
  return words;
}

/** @returns undefined where nothing was measured, for whatever reason */
export async function measureBme280({ bus, address }: SensorAt, words: Bme280Words, signal: AbortSignal): Promise<Bme280Air | undefined> {
  bus.write(address, REGISTER.ctrlMeas, MEASURE | FORCED);
  await pause(MEASURING_MS, signal);
  for (let tries = 0; tries < TRIES && !signal.aborted; tries++) {
    // ctrl_hum, status, ctrl_meas, config, one unused, then the counts.
    const bytes = await bus.read(address, REGISTER.ctrlHum, 13, signal);
    if (bytes === undefined) return undefined;
    const [ctrlHum, status = 0, ctrlMeas = 0] = bytes;
    if ((status & BUSY) === 0 && (ctrlMeas & 3) === 0) {
      const isAsSet = ctrlHum === HUMIDITY_X4 && ctrlMeas === MEASURE;
      return isAsSet ? compensate(parseCounts(bytes.subarray(5)), words) : undefined;
    }
    await pause(SETTLE_MS, signal);
  }
  return undefined;
}

async function readChipId({ bus, address }: SensorAt, signal: AbortSignal): Promise<number | undefined> {
  for (let tries = 0; tries < TRIES && !signal.aborted; tries++) {
    const id = (await bus.read(address, REGISTER.chipId, 1, signal))?.[0];
    if (id === CHIP_ID.bme280 || id === CHIP_ID.bmp280 || (id !== undefined && tries === TRIES - 1)) return id;
    await pause(SETTLE_MS, signal);
  }
  return undefined;
}

async function whyNot(id: number | undefined, { bus, address }: SensorAt, signal: AbortSignal): Promise<string> {
  if (id === CHIP_ID.bmp280) return `the chip at ${hex(address)} is a BMP280 (chip id 0x58), which has no humidity; fit a BME280`;
  if (id !== undefined)
    return `the chip at ${hex(address)} says chip id ${hex(id)}, expected 0x60 of a BME280; check which sensor is fitted`;
  const other = address === 0x76 ? 0x77 : 0x76;
  const isOther = (await bus.read(other, REGISTER.chipId, 1, signal))?.[0] === CHIP_ID.bme280;
  const advice = isOther
    ? `one answers at ${hex(other)}: change bme280 in the rig file`
    : 'check its wiring and its address (0x76 or 0x77)';
  return `no BME280 answers at ${hex(address)}; ${advice}`;
}

/** Real chips need some 2 ms. */
async function hasSettled(at: SensorAt, signal: AbortSignal): Promise<boolean> {
  for (let tries = 0; tries < SETTLE_TRIES && !signal.aborted; tries++) {
    await pause(SETTLE_MS, signal);
    const status = (await at.bus.read(at.address, REGISTER.status, 1, signal))?.[0];
    if (status === undefined || (status & BUSY) !== 0) continue;
    if ((await at.bus.read(at.address, REGISTER.chipId, 1, signal))?.[0] === CHIP_ID.bme280) return true;
  }
  return false;
}

/** The words are used for hours and have no check of their own: they are read until two readings in a row agree. */
async function readWords({ bus, address }: SensorAt, signal: AbortSignal): Promise<Bme280Words | undefined> {
  let before: Uint8Array | undefined;
  for (let tries = 0; tries < 2 * TRIES && !signal.aborted; tries++) {
    const [from88, fromA1, fromE1] = [
      await bus.read(address, REGISTER.words1, 24, signal),
      await bus.read(address, REGISTER.wordH1, 1, signal),
      await bus.read(address, REGISTER.words2, 7, signal),
    ];
    if (from88 === undefined || fromA1 === undefined || fromE1 === undefined) continue;
    const all = Buffer.concat([from88, fromA1, fromE1]);
    // No chip has 0 or all ones for its first word of temperature, or of pressure.
    const isEmpty = [0, 6].some((at) => all.readUInt16LE(at) === 0 || all.readUInt16LE(at) === 0xffff);
    if (!isEmpty && before !== undefined && all.equals(before)) return parseWords(from88, fromA1[0] as number, fromE1);
    before = all;
  }
  return undefined;
}

const hex = (value: number): string => `0x${value.toString(16).padStart(2, '0')}`;
