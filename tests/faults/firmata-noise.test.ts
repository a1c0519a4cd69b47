/** A Firmata line that damages what it carries: the process lives, nothing false is handed over, and the rest goes on. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { createFirmataBoard } from '../../firmware-sim/boards/firmata-board/index.ts';
import { LINE_FAULTS, type LineFault, lineFaults } from '../../firmware-sim/wires/faults.ts';
import { createMemoryLine } from '../../firmware-sim/wires/memory.ts';
import { randomStream } from '../../firmware-sim/world/random.ts';
import { AnalogPins } from '../../host/links/firmata/analog-pins.ts';
import { FirmataClient } from '../../host/links/firmata/firmata-client.ts';
import { AIR, changes, type FirmataRig, isReading, openFirmataRig, readings } from '../wire/firmata-rig.ts';

const SEEDS = [1, 2, 3];

describe('analog pins in virtual time', () => {
  const volts = (channel: number) => (timeS: number) => 2.5 + 1.5 * Math.sin(timeS / (2 + channel));
  const truth = (channel: number, timeS: number) => Math.floor((volts(channel)(timeS) / 5) * 1024);

  /** A minute of three pins at 50 ms over a bad line. */
  function run(seed: number, faults: readonly LineFault[], probability: number) {
    const board = createFirmataBoard({ firmwareName: 'x', baudRate: 57_600, analogVolts: [0, 1, 2].map(volts) });
    board.receive(Uint8Array.of(0xf0, 0x7a, 50, 0, 0xf7, 0xc0, 1, 0xc1, 1, 0xc2, 1), 0);
    const line = createMemoryLine({ seed, end: board, fault: lineFaults(faults, probability) });
    let unreadable = 0;
    const client = new FirmataClient({ askMs: 100, answerMs: 1000, i2cMs: 100 }, { onFault: () => (unreadable += 1) });
    client.attach({ write: () => true });
    client.receive(Uint8Array.of(0xf9, 2, 6));
    const pins = new AnalogPins([0, 1, 2]);
    pins.begin(1023);
    const errors: number[] = [];
    for (let tick = 1; tick <= 60_000; tick++) {
      for (const { bytes, timeS } of line.advanceTo(tick / 1000)) {
        for (const counts of client.receive(bytes)) {
          for (const reading of pins.take(counts, timeS * 1e9)) {
            for (const [key, value] of Object.entries(reading.value)) errors.push(value - truth(Number(key.slice(1)), reading.atNs / 1e9));
          }
        }
      }
    }
    client.close();
    return { errors, dropped: pins.dropped, unreadable };
  }

  test('a sound line: every count of every pin, each within what its delay explains', () => {
    const { errors, dropped, unreadable } = run(1, [], 0);
    expect([dropped, unreadable]).toEqual([0, 0]);
    expect(errors.length).toBeGreaterThan(3 * 1195);
    // 0.15 V/s at most over some milliseconds, and one count of rounding.
    expect(Math.max(...errors.map(Math.abs))).toBeLessThanOrEqual(3);
  });

  test.each(LINE_FAULTS.flatMap((fault) => SEEDS.map((seed) => ({ fault, seed }))))(
    '"$fault" in 2 messages of 100, seed $seed: no count far from the truth, and most get through',
    ({ fault, seed }) => {
      const { errors } = run(seed, [fault], 0.02);
      // A flipped low bit cannot be told from the truth; anything beyond an eighth of the scale can.
      expect(Math.max(...errors.map(Math.abs))).toBeLessThanOrEqual(128 + 3);
      expect(errors.length).toBeGreaterThan(0.93 * 3 * 1200);
    },
  );
});

describe('over a real port', () => {
  let rig: FirmataRig;
  beforeEach(async () => {
    rig = await openFirmataRig();
  });
  afterEach(() => rig.close());
  const isA0 = isReading('A0');
  const isWeather = isReading('temperature');
  const expectTrue = (records: Parameters<typeof readings>[0]) => {
    // The weather's own limits of a step, and the pins'.
    for (const kelvin of readings(records, 'temperature')) expect(Math.abs(kelvin - AIR.temperatureK)).toBeLessThanOrEqual(2);
    for (const pascal of readings(records, 'pressure')) expect(Math.abs(pascal - AIR.pressurePa)).toBeLessThanOrEqual(300);
    for (const humidity of readings(records, 'humidity')) expect(Math.abs(humidity - AIR.relativeHumidity)).toBeLessThanOrEqual(0.1);
    for (const counts of readings(records, 'A0')) expect(Math.abs(counts - Math.floor((2 / 5) * 1024))).toBeLessThanOrEqual(128);
  };

  test.each(SEEDS)('garbage between the messages, seed %i: the process lives and the pins go on', async (seed) => {
    rig.openBoard();
    const { link, records } = rig.openLink();
    await records.until((all) => all.some(isA0) && all.some(isWeather));
    const random = randomStream(seed, 'garbage');
    for (let burst = 0; burst < 40; burst++) {
      const from = records.items.length;
      rig.wire.write(Uint8Array.from({ length: 1 + random.integer(300) }, () => random.integer(256)));
      // The board's reports go on behind each burst.
      await records.untilNext(from, isA0);
    }
    const from = records.items.length;
    await records.untilNext(from, isWeather);
    expectTrue(records.items);
    expect(changes(records.items)).toEqual(['opening', 'opened', 'running']);
    await link.close();
  });

  test('each malformed message that makes the library throw is a counted fault, and the link goes on', async () => {
    rig.openBoard();
    const { link, records } = rig.openLink();
    await records.until((all) => all.some(isA0) && all.some(isWeather));
    const malformed = [
      [0xf0, 0x79, 0xf7],
      [0xf0, 0x6e, 127, 1, 1, 0xf7],
      [0xf0, 0x6a, ...new Array<number>(120).fill(0), 0xf7],
    ];
    for (const [index, message] of malformed.entries()) {
      // In the middle of a report of the board's it would be damage of another kind: this one is sent until it was read as it is.
      while (link.faults.unreadable <= index) {
        const from = records.items.length;
        rig.wire.write(Uint8Array.from(message));
        await records.untilNext(from, isA0);
      }
    }
    const from = records.items.length;
    await records.until((all) => all.slice(from).filter(isA0).length > 20 && all.slice(from).some(isWeather));
    expectTrue(records.items);
    expect(changes(records.items)).toEqual(['opening', 'opened', 'running']);
  });

  test.each(SEEDS)('everything at once from the start, seed %i: nothing false, and the noise is told', async (seed) => {
    const random = randomStream(seed, 'line');
    const damage = lineFaults(LINE_FAULTS, 0.01);
    rig.openBoard({}, (bytes) => damage(bytes, random));
    const { link, records } = rig.openLink({}, { noiseMs: 500 });
    await records.until((all) => all.filter(isWeather).length >= 4 && all.filter(isA0).length >= 300);
    expectTrue(records.items);
    await records.until((all) =>
      all.some((record) => record.kind === 'link' && /The line is noisy: \d+ messages unreadable/.test(record.value.detail)),
    );
    expect(link.faults.unreadable + link.faults.untrue).toBeGreaterThan(0);
    await link.close();
  });
});
