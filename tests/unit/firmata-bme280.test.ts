/** Weather from raw counts: the maker's vectors, the simulated chip, and johnny-five's own driver held against ours. */
import { EventEmitter } from 'node:events';
import fc from 'fast-check';
import firmataIo from 'firmata-io';
import five from 'johnny-five';
import { afterEach, describe, expect, test, vi } from 'vitest';
import { storeCalibration } from '../../firmware-sim/boards/firmata-board/bme280-calibration.ts';
import {
  type AirSample,
  type Bme280Calibration,
  createBme280,
  createFirmataBoard,
  EXAMPLE_CALIBRATION,
  fineTemperature,
  humidityPercent1024,
  pressurePa256,
  rawCountsOf,
} from '../../firmware-sim/boards/firmata-board/index.ts';
import { compensate, parseCounts, parseWords } from '../../host/links/firmata/bme280-compensation.ts';
import { checked } from '../../host/links/firmata/bme280-watch.ts';

/** As the host reads them from a chip. */
function wordsOf(calibration: Bme280Calibration) {
  const registers = new Uint8Array(256);
  storeCalibration(registers, calibration, true);
  return parseWords(registers.slice(0x88, 0xa0), registers[0xa1] as number, registers.slice(0xe1, 0xe8));
}

/** Data sheet of the BMP280, section 3.12: the raw counts that go with EXAMPLE_CALIBRATION (from memory). Humidity counts: ours. */
const VECTOR = { temperature: 519888, pressure: 415148, humidity: 30281 };

/** Chips as they are made: the example's words moved about, humidity words H5 and H6 of both signs. */
const calibrations: fc.Arbitrary<Bme280Calibration> = fc
  .record({
    t1: fc.integer({ min: 26000, max: 29000 }),
    t2: fc.integer({ min: 25500, max: 27500 }),
    p1: fc.integer({ min: 35000, max: 38500 }),
    h2: fc.integer({ min: 340, max: 385 }),
    h4: fc.integer({ min: 100, max: 400 }),
    h5: fc.integer({ min: -120, max: 120 }),
    h6: fc.integer({ min: -40, max: 40 }),
  })
  .map((moved) => {
    const { p1, ...words } = moved;
    const [, ...others] = EXAMPLE_CALIBRATION.p;
    return { ...EXAMPLE_CALIBRATION, ...words, p: [p1, ...others] as unknown as Bme280Calibration['p'] };
  });

const airs: fc.Arbitrary<AirSample> = fc.record({
  temperatureK: fc.double({ min: 263.15, max: 323.15, noNaN: true }),
  pressurePa: fc.double({ min: 80e3, max: 108e3, noNaN: true }),
  relativeHumidity: fc.double({ min: 0.1, max: 0.9, noNaN: true }),
});

describe('the compensation formulas', () => {
  test('give the data sheet vector', () => {
    const air = compensate(VECTOR, wordsOf(EXAMPLE_CALIBRATION));
    // 25.08 °C and 100653.27 Pa (same section, floating point).
    expect(air.temperatureC).toBeCloseTo(25.08, 2);
    expect(air.pressurePa).toBeCloseTo(100653.27, 1);
    // No published vector: the integer formula of the same maker gives 56.565, rounding its steps.
    expect(Math.abs(air.humidityPercent - 56.565)).toBeLessThan(0.01);
  });

  test("the simulator's integer formulas give it too", () => {
    const fine = fineTemperature(VECTOR.temperature, EXAMPLE_CALIBRATION);
    // t_fine and the 64-bit pressure of the same section.
    expect(fine).toBe(128422);
    expect(pressurePa256(VECTOR.pressure, fine, EXAMPLE_CALIBRATION) / 256).toBeCloseTo(100653.25, 1);
    expect(humidityPercent1024(VECTOR.humidity, fine, EXAMPLE_CALIBRATION) / 1024).toBeCloseTo(56.565, 3);
  });

  test('read every word with its sign from where a chip keeps it', () => {
    const int = (min: number, max: number) => fc.integer({ min, max });
    const words = fc.record({
      t: fc.tuple(int(0, 65535), int(-32768, 32767), int(-32768, 32767)),
      p: fc.tuple(int(0, 65535), ...Array.from({ length: 8 }, () => int(-32768, 32767))),
      h: fc.tuple(int(0, 255), int(-32768, 32767), int(0, 255), int(-2048, 2047), int(-2048, 2047), int(-128, 127)),
    });
    fc.assert(
      fc.property(words, ({ t: [t1, t2, t3], p, h: [h1, h2, h3, h4, h5, h6] }) => {
        const calibration = { t1, t2, t3, p: p as unknown as Bme280Calibration['p'], h1, h2, h3, h4, h5, h6 };
        expect(wordsOf(calibration)).toEqual({ t: [t1, t2, t3], p, h: [h1, h2, h3, h4, h5, h6] });
      }),
    );
  });

  test('bring any air back from the counts of any chip, within what the sensor resolves', () => {
    fc.assert(
      fc.property(airs, calibrations, (air, calibration) => {
        const got = checked(compensate(rawCountsOf(air, calibration), wordsOf(calibration)));
        if (got === undefined) throw new Error('out of range');
        // The sensor resolves 0.01 °C, 0.18 Pa and 0.008 % (data sheet, section 1, from memory); the integer formulas round more.
        expect(Math.abs(got.temperatureK - air.temperatureK)).toBeLessThan(0.01);
        expect(Math.abs(got.pressurePa - air.pressurePa)).toBeLessThan(1);
        expect(Math.abs(got.humidity - air.relativeHumidity)).toBeLessThan(3e-4);
      }),
    );
  });

  test('a reading outside of what the sensor can measure, or no number at all, is none', () => {
    const fair = { temperatureC: 20, pressurePa: 101e3, humidityPercent: 50 };
    expect(checked(fair)).toEqual({ temperatureK: 293.15, pressurePa: 101e3, humidity: 0.5 });
    expect(checked({ ...fair, humidityPercent: 101 })?.humidity).toBe(1);
    for (const bad of [-40.01, 85.01, Number.NaN]) expect(checked({ ...fair, temperatureC: bad })).toBeUndefined();
    for (const bad of [29_999, 110_001, Number.POSITIVE_INFINITY]) expect(checked({ ...fair, pressurePa: bad })).toBeUndefined();
    for (const bad of [-6, 106, Number.NaN]) expect(checked({ ...fair, humidityPercent: bad })).toBeUndefined();
    // Words of zero: nothing to divide by.
    const nothing = parseWords(new Uint8Array(24), 0, new Uint8Array(7));
    expect(checked(compensate(parseCounts(new Uint8Array(8)), nothing))).toBeUndefined();
  });
});

describe("johnny-five's driver on the simulated board", () => {
  afterEach(() => {
    vi.useRealTimers();
  });

  /** What the driver makes of this air, over its own Firmata, in virtual time. */
  async function readByDriver(air: AirSample, calibration: Bme280Calibration) {
    vi.useFakeTimers({ toFake: ['Date'] });
    const board = createFirmataBoard({
      firmwareName: 'StandardFirmata.ino',
      baudRate: 57_600,
      i2cDevices: [createBme280({ air: () => air, calibration, resetS: 0 })],
    });
    let timeS = 0;
    const transport = Object.assign(new EventEmitter(), {
      write: (bytes: Buffer, done?: () => void) => {
        board.receive(bytes, timeS);
        done?.();
        return true;
      },
    });
    const io = new firmataIo.Firmata(transport, { reportVersionTimeout: 2 ** 31 - 1, skipCapabilities: true });
    clearTimeout(io.reportVersionTimeoutId);
    const run = async (untilS: number) => {
      for (; timeS < untilS; timeS += 0.01) {
        for (const { bytes } of board.advanceTo(timeS)) transport.emit('data', bytes);
        vi.setSystemTime(Math.round(timeS * 1000));
        // The driver goes on in promises.
        await new Promise((resolve) => setImmediate(resolve));
      }
    };
    await run(0.2);
    const johnny = new five.Board({ io, repl: false, debug: false, sigint: false });
    await run(0.3);
    const got: { temperature: number; pressure: number; humidity: number }[] = [];
    five.IMU.Drivers.get(johnny, 'BME280', { address: 0x76 }).on('data', (data) => got.push({ ...data }));
    await run(2);
    five.Board.cache.splice(0);
    return got.at(-1);
  }

  const AIR: AirSample = { temperatureK: 296.4, pressurePa: 98_432, relativeHumidity: 0.61 };

  test('agrees with our conversion within its coarser formulas', async () => {
    const driver = await readByDriver(AIR, EXAMPLE_CALIBRATION);
    const ours = compensate(rawCountsOf(AIR, EXAMPLE_CALIBRATION), wordsOf(EXAMPLE_CALIBRATION));
    if (driver === undefined) throw new Error('the driver gave nothing');
    // The 32-bit formulas against floating point over the sensor's range: 0.005 °C, 6.1 Pa, 0.008 % at worst (measured by sweep).
    expect(Math.abs(driver.temperature - ours.temperatureC)).toBeLessThan(0.01);
    expect(Math.abs(driver.pressure - ours.pressurePa)).toBeLessThan(7);
    expect(Math.abs(driver.humidity / 1024 - ours.humidityPercent)).toBeLessThan(0.02);
  });

  test('is why we have our own: with a negative H5 it is wrong by tens of percent', async () => {
    const calibration = { ...EXAMPLE_CALIBRATION, h5: -50 };
    const driver = await readByDriver(AIR, calibration);
    const ours = compensate(rawCountsOf(AIR, calibration), wordsOf(calibration));
    if (driver === undefined) throw new Error('the driver gave nothing');
    expect(Math.abs(ours.humidityPercent - 61)).toBeLessThan(0.02);
    expect(Math.abs(driver.humidity / 1024 - 61)).toBeGreaterThan(10);
  });
});
