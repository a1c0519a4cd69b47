/** The simulated Firmata board alone: bytes in, bytes out, in virtual time. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  createBme280,
  createFirmataBoard,
  FIRMATA_BOARD,
  type FirmataBoardOptions,
} from '../../firmware-sim/boards/firmata-board/index.ts';
import { createMemoryLine } from '../../firmware-sim/wires/memory.ts';

const AIR = { temperatureK: 288.15, pressurePa: 101_325, relativeHumidity: 0.5 };
const QUIET: FirmataBoardOptions = { firmwareName: 'Cold Sike weather', baudRate: 57_600, announces: false };
const boardWith = (options: Partial<FirmataBoardOptions> = {}) => createFirmataBoard({ ...QUIET, ...options });
const sysex = (...body: number[]) => [0xf0, ...body, 0xf7];

/** Sends at 0 s. @returns all bytes that have left by the time */
function converse(options: Partial<FirmataBoardOptions>, sent: readonly number[], untilS = 1): number[] {
  const board = boardWith(options);
  board.receive(Uint8Array.from(sent), 0);
  return board.advanceTo(untilS).flatMap(({ bytes }) => [...bytes]);
}

describe('a simulated Firmata board', () => {
  test('tells version and name, asked and at its start', () => {
    const name = [...'Cold Sike weather'].flatMap((letter) => [letter.charCodeAt(0), 0]);
    const both = [0xf9, 2, 6, ...sysex(0x79, 2, 6, ...name)];
    expect(converse({}, [0xf9, ...sysex(0x79)])).toEqual(both);
    expect(converse({ announces: true }, [])).toEqual(both);
    expect(converse({}, [0xff])).toEqual(both);
  });

  test('tells the abilities of its pins and where its analog channels are', () => {
    const answer = converse({ analogBits: 12, analogVolts: [() => 1] }, sysex(0x6b));
    expect(answer.slice(0, 2)).toEqual([0xf0, 0x6c]);
    expect(answer.filter((byte) => byte === 0x7f)).toHaveLength(22);
    expect(answer.join()).toContain([2, 12, 0x7f].join());
    const mapping = converse({}, sysex(0x69));
    expect(mapping).toEqual(sysex(0x6a, ...new Array(14).fill(0x7f), 0, 1, 2, 3, 4, 5, 0x7f, 0x7f));
  });

  test('reports volts as counts, at once and then at the interval asked for', () => {
    const interval = [0x7a, 100, 0];
    const reports = converse({ analogVolts: [() => 0, (timeS) => timeS] }, [...sysex(...interval), 0xc1, 1], 1.05);
    const counts = Array.from(
      { length: reports.length / 3 },
      (_, i) => (reports[3 * i + 1] as number) | ((reports[3 * i + 2] as number) << 7),
    );
    expect(reports.filter((_, i) => i % 3 === 0).every((byte) => byte === 0xe1)).toBe(true);
    // 1 V of 5 is 204.8 of 1024; the first interval of 19 ms was running already.
    expect(counts.at(0)).toBe(0);
    expect(counts).toHaveLength(1 + 11);
    expect(counts.at(-1)).toBe(Math.floor((1.019 / 5) * 1024));
    expect(counts).toEqual([...counts].sort((a, b) => a - b));
  });

  test.each([10, 12, 14] as const)('rails at the ends of a converter of %i bits', (analogBits) => {
    const bytes = converse({ analogBits, analogVolts: [() => 7, () => -1] }, [0xc0, 1, 0xc1, 1], 0.01);
    const full = 2 ** analogBits - 1;
    expect(bytes).toEqual([0xe0, full & 0x7f, full >> 7, 0xe1, 0, 0]);
  });

  test('reads the bus: an absent address gives a text and no bytes, a present one its register', () => {
    const on = sysex(0x78, 0, 0);
    const read = (address: number) => sysex(0x76, address, 1 << 3, 0x50, 1, 1, 0);
    const device = createBme280({ air: () => AIR });
    expect(converse({ i2cDevices: [device] }, [...on, ...read(0x76)])).toEqual(sysex(0x77, 0x76, 0, 0x50, 1, 0x60, 0));
    const absent = converse({ i2cDevices: [device] }, [...on, ...read(0x77)]);
    expect(Buffer.from(absent).toString('latin1').replaceAll('\0', '')).toContain('I2C: Too few bytes received');
    expect(absent.slice(-7)).toEqual([...sysex(0x77, 0x77, 0, 0x50, 1)].slice(-7));
    expect(converse({ i2cDevices: [device] }, read(0x76))).toEqual([]);
  });

  test('reads on and on until it is stopped, and no more than it has room for', () => {
    const on = sysex(0x78, 0, 0);
    const forever = sysex(0x76, 0x76, 2 << 3, 0x50, 1, 1, 0);
    const device = createBme280({ air: () => AIR });
    const replies = (bytes: number[]) => bytes.filter((byte) => byte === 0x77).length;
    expect(replies(converse({ i2cDevices: [device] }, [...on, ...forever], 0.5))).toBe(Math.floor(0.5 / 0.019));
    expect(converse({ i2cDevices: [device] }, [...on, ...forever, ...sysex(0x76, 0x76, 3 << 3)], 0.5)).toEqual([]);
    const many = converse(
      { i2cDevices: [device] },
      [...on, ...Array.from({ length: FIRMATA_BOARD.i2cReadsMax + 1 }, () => forever).flat()],
      0.01,
    );
    expect(Buffer.from(many).toString('latin1').replaceAll('\0', '')).toContain('too many queries');
  });

  test('says the same however the bytes from the host were cut, whatever they are', () => {
    const talk = fc.array(
      fc.oneof(
        fc.constantFrom(
          [0xf9],
          [0xff],
          sysex(0x79),
          sysex(0x6b),
          sysex(0x69),
          sysex(0x78, 0, 0),
          [0xc0, 1],
          sysex(0x76, 0x76, 8, 0x50, 1, 1, 0),
        ),
        fc.array(fc.integer({ min: 0, max: 255 }), { maxLength: 20 }),
      ),
      { maxLength: 12 },
    );
    fc.assert(
      fc.property(talk, fc.array(fc.nat(80), { maxLength: 8 }), (parts, cuts) => {
        const sent = parts.flat();
        const whole = boardWith({ i2cDevices: [createBme280({ air: () => AIR })] });
        const cut = boardWith({ i2cDevices: [createBme280({ air: () => AIR })] });
        whole.receive(Uint8Array.from(sent), 0);
        const places = [0, ...cuts.filter((at) => at < sent.length).sort((a, b) => a - b), sent.length];
        places.slice(1).forEach((to, i) => {
          cut.receive(Uint8Array.from(sent.slice(places[i], to)), 0);
        });
        expect(cut.advanceTo(0.3)).toEqual(whole.advanceTo(0.3));
      }),
    );
  });

  test('never sends faster than its line, and stands still for it', () => {
    const board = boardWith({ baudRate: 9600, analogVolts: Array.from({ length: 16 }, () => () => 1) });
    const all = Array.from({ length: 16 }, (_, channel) => [0xc0 | channel, 1]).flat();
    board.receive(Uint8Array.from([...sysex(0x7a, 10, 0), ...all]), 0);
    const chunks = board.advanceTo(2);
    const bytes = chunks.reduce((sum, chunk) => sum + chunk.bytes.length, 0);
    expect(bytes).toBeGreaterThan(0.95 * 2 * 960);
    expect(bytes).toBeLessThanOrEqual(2 * 960);
  });

  test('runs on a wire in virtual time, and repeats to the byte', () => {
    const run = () => {
      const end = boardWith({ announces: true, analogVolts: [(timeS) => 2 + Math.sin(timeS)] });
      const line = createMemoryLine({ seed: 7, end });
      line.send(Uint8Array.of(0xc0, 1), 0.1);
      const before = line.advanceTo(1);
      line.setPlugged(false, 1);
      line.setPlugged(true, 1.5);
      return [...before, ...line.advanceTo(2)];
    };
    const once = run();
    expect(run()).toEqual(once);
    expect(once.some(({ timeS }) => timeS > 1.002 && timeS < 1.5)).toBe(false);
    expect(once.filter(({ timeS }) => timeS > 1.5).length).toBeGreaterThan(20);
  });
});

describe('a simulated weather sensor', () => {
  const registers = (device: ReturnType<typeof createBme280>, from: number, count: number, timeS: number) => {
    device.write(Uint8Array.of(from), timeS);
    return [...device.read(count, timeS)];
  };
  const NOTHING = [0x80, 0, 0, 0x80, 0, 0, 0x80, 0];

  test('measures only when told, takes its time, and sleeps again', () => {
    const device = createBme280({ air: () => AIR });
    expect(registers(device, 0xf7, 8, 1)).toEqual(NOTHING);
    device.write(Uint8Array.of(0xf2, 3, 0xf4, 0x75), 1);
    expect(registers(device, 0xf3, 2, 1.05)).toEqual([8, 0x75]);
    expect(registers(device, 0xf7, 8, 1.05)).toEqual(NOTHING);
    expect(registers(device, 0xf3, 2, 1.06)).toEqual([0, 0x74]);
    expect(registers(device, 0xf7, 8, 1.06)).not.toEqual(NOTHING);
  });

  test('follows the air while it runs free, and not once it is stuck', () => {
    const air = (timeS: number) => ({ ...AIR, temperatureK: 280 + timeS });
    const read = (device: ReturnType<typeof createBme280>, timeS: number) => registers(device, 0xf7, 8, timeS).join();
    const [free, stuck] = [createBme280({ air }), createBme280({ air, stuckFromS: 5 })];
    for (const device of [free, stuck]) device.write(Uint8Array.of(0xf2, 5, 0xf4, 0xb7), 0);
    expect(read(free, 2)).not.toBe(read(free, 3));
    expect(read(free, 4)).toBe(read(stuck, 4));
    expect(read(free, 7)).not.toBe(read(free, 8));
    expect(read(stuck, 7)).toBe(read(stuck, 8));
  });

  test('forgets its settings in a reset, and is nothing but zeros meanwhile', () => {
    const device = createBme280({ air: () => AIR, resetS: 0.3 });
    device.write(Uint8Array.of(0xf2, 3, 0xf4, 0x75), 0);
    device.write(Uint8Array.of(0xe0, 0xb6), 1);
    expect(registers(device, 0xd0, 1, 1.2)).toEqual([0]);
    expect(registers(device, 0xd0, 1, 1.3)).toEqual([0x60]);
    expect(registers(device, 0xf2, 3, 1.3)).toEqual([0, 0, 0]);
    expect(registers(device, 0xf7, 8, 1.3)).toEqual(NOTHING);
  });

  test('as a BMP280 it has another id and no humidity', () => {
    const device = createBme280({ air: () => AIR, chip: 'bmp280' });
    device.write(Uint8Array.of(0xf2, 3, 0xf4, 0x75), 0);
    expect(registers(device, 0xd0, 1, 1)).toEqual([0x58]);
    expect(registers(device, 0xfd, 2, 1)).toEqual([0x80, 0]);
    expect(registers(device, 0xe1, 7, 1)).toEqual(new Array(7).fill(0));
  });
});
