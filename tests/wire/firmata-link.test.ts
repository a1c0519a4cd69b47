/** The link to a Firmata board through a real pseudo-terminal, the real serial binding and the real libraries. */
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { createBme280, createFirmataBoard } from '../../firmware-sim/boards/firmata-board/index.ts';
import type { FirmataLink } from '../../host/links/index.ts';
import { AIR, changes, details, type FirmataRig, isLink, isReading, openFirmataRig, readings } from './firmata-rig.ts';

let rig: FirmataRig;
beforeEach(async () => {
  rig = await openFirmataRig();
});
afterEach(() => rig.close());

const isWeather = isReading('temperature');
const isA0 = isReading('A0');

const listenersOf = (link: FirmataLink): number =>
  link.emitters.reduce((sum, emitter) => sum + emitter.eventNames().reduce((n, name) => n + emitter.listenerCount(name), 0), 0);

describe('a link to a Firmata board', () => {
  test('brings the air of the world through as readings, within what the sensor resolves', async () => {
    let shift = 0;
    rig.openBoard({
      i2cDevices: [
        createBme280({ air: () => ({ ...AIR, temperatureK: AIR.temperatureK + shift, pressurePa: AIR.pressurePa + 100 * shift }) }),
      ],
    });
    const { link, records } = rig.openLink();
    await records.until((all) => all.filter(isWeather).length >= 3);
    shift = 1;
    const before = records.items.length;
    await records.until((all) => all.slice(before).filter(isWeather).length >= 3);
    await link.close();
    const first = records.items.find(isWeather);
    const last = records.items.findLast(isWeather);
    for (const [record, warmer] of [[first, 0] as const, [last, 1] as const]) {
      if (record?.kind !== 'reading') throw new Error('no reading');
      const { temperature = 0, pressure = 0, humidity = 0 } = record.value;
      expect(Object.keys(record.value).sort()).toEqual(['humidity', 'pressure', 'temperature']);
      expect(Math.abs(temperature - AIR.temperatureK - warmer)).toBeLessThan(0.01);
      expect(Math.abs(pressure - AIR.pressurePa - 100 * warmer)).toBeLessThan(1);
      expect(Math.abs(humidity - AIR.relativeHumidity)).toBeLessThan(2e-4);
    }
    const times = records.items.map((record) => record.atNs);
    expect(times).toEqual([...times].sort((a, b) => a - b));
    expect(times.every(Number.isSafeInteger)).toBe(true);
    expect(records.items.every(({ source }) => source === 'weather')).toBe(true);
    expect(changes(records.items)).toEqual(['opening', 'opened', 'running', 'closed']);
    expect(details(records.items)[2]).toBe('Firmware StandardFirmata.ino 2.6 is heard.');
    expect(link.faults).toEqual({ unreadable: 0, untrue: 0 });
  });

  test('gives each wanted pin under its name, and turns off what an earlier host has left on', async () => {
    const analogVolts = [() => 1, () => 2, () => 3, () => 0, () => 5];
    const board = createFirmataBoard({ firmwareName: 'StandardFirmata.ino', baudRate: 57_600, analogVolts, analogBits: 12 });
    board.receive(Uint8Array.of(0xc1, 1), 0);
    let reportsOfA1 = 0;
    rig.openEnd({
      receive: board.receive,
      advanceTo: (timeS) => {
        const chunks = board.advanceTo(timeS);
        reportsOfA1 += chunks.filter(({ bytes }) => bytes[0] === 0xe1).length;
        return chunks;
      },
    });
    const { link, records } = rig.openLink({ analogPins: [0, 2, 4], samplingIntervalMs: 10 });
    await records.until((all) => readings(all, 'A4').length >= 5);
    const before = reportsOfA1;
    await records.until((all) => readings(all, 'A4').length >= 25);
    expect(before).toBeGreaterThan(0);
    expect(reportsOfA1).toBe(before);
    await link.close();
    const keys = new Set(
      records.items.flatMap((record) => (record.kind === 'reading' && !isWeather(record) ? Object.keys(record.value) : [])),
    );
    expect([...keys].sort()).toEqual(['A0', 'A2', 'A4']);
    expect(new Set(readings(records.items, 'A0'))).toEqual(new Set([Math.floor((1 / 5) * 4096)]));
    expect(new Set(readings(records.items, 'A2'))).toEqual(new Set([Math.floor((3 / 5) * 4096)]));
    expect(new Set(readings(records.items, 'A4'))).toEqual(new Set([4095]));
  });

  test('20 times unplugged: each loss and return is told, no old value, nothing piles up, and the process could end', async () => {
    const timersBefore = process.getActiveResourcesInfo().filter((name) => name === 'Timeout').length;
    let volts = 1;
    const live = rig.openBoard({ analogVolts: [() => volts] });
    const held: { listeners: number; timers: number }[] = [];
    const { link, records } = rig.openLink({}, {}, (record) => {
      // At a weather reading no question is open: the same state each time.
      if (!isWeather(record)) return;
      const listeners = link.emitters.reduce(
        (sum, emitter) => sum + emitter.eventNames().reduce((n, name) => n + emitter.listenerCount(name), 0),
        0,
      );
      held.push({ listeners, timers: process.getActiveResourcesInfo().filter((name) => name === 'Timeout').length });
    });
    await records.until((all) => all.some(isWeather));
    for (let round = 1; round <= 20; round++) {
      await live.setPlugged(false);
      await records.until((all) => changes(all).filter((change) => change === 'lost').length === round);
      const lostAt = records.items.length;
      volts = 1 + round / 10;
      await live.setPlugged(true);
      await records.until((all) => all.slice(lostAt).some(isA0) && all.slice(lostAt).some(isWeather));
      const back = records.items.slice(lostAt);
      expect(back.findIndex(isLink('opened'))).toBeLessThan(back.findIndex((record) => record.kind === 'reading'));
      expect(new Set(readings(back, 'A0'))).toEqual(new Set([Math.floor((volts / 5) * 1024)]));
    }
    expect(changes(records.items).filter((change) => change === 'opened')).toHaveLength(21);
    const [first, last] = [held.at(0), held.at(-1)];
    expect(held.length).toBeGreaterThan(20);
    expect(last?.listeners).toBe(first?.listeners);
    expect(Math.abs((last?.timers ?? 0) - (first?.timers ?? 0))).toBeLessThanOrEqual(1);
    await link.close();
    live.stop();
    await rig.wire.close();
    const count = records.items.length;
    expect(process.getActiveResourcesInfo().filter((name) => name === 'Timeout').length).toBeLessThanOrEqual(timersBefore);
    expect(link.emitters.every((emitter) => emitter.eventNames().length === 0)).toBe(true);
    expect(records.items.length).toBe(count);
  });

  test('a board that says nothing: told, tried again, and taken on when it comes to life', async () => {
    const { records } = rig.openLink();
    await records.untilNext(0, isLink('silent', /Nothing heard for 0.8 s/));
    expect(changes(records.items)).toEqual(['opening', 'opened', 'silent']);
    rig.openBoard();
    await records.untilNext(0, isLink('running'));
    await records.untilNext(0, isWeather);
  });

  test('a board that falls silent: told once, opened again, and readings go on when it wakes', async () => {
    let awake = true;
    const { openEnd, openLink } = rig;
    const board = createFirmataBoard({
      firmwareName: 'StandardFirmata.ino',
      baudRate: 57_600,
      analogVolts: [() => 2],
      i2cDevices: [createBme280({ air: () => AIR })],
    });
    openEnd({
      receive: (bytes, timeS) => awake && board.receive(bytes, timeS),
      advanceTo: (timeS) => board.advanceTo(timeS).filter(() => awake),
    });
    const { records } = openLink();
    await records.untilNext(0, isWeather);
    awake = false;
    await records.untilNext(0, isLink('silent', /Nothing heard for 0.8 s/));
    const lostAt = records.items.length;
    awake = true;
    await records.untilNext(lostAt, isWeather);
    await records.untilNext(lostAt, isA0);
    expect(changes(records.items).filter((change) => change === 'silent')).toHaveLength(1);
  });

  test('a board that starts anew by itself: pins and sensor are set up again under the open port', async () => {
    const board = createFirmataBoard({
      firmwareName: 'StandardFirmata.ino',
      baudRate: 57_600,
      analogVolts: [() => 2],
      i2cDevices: [createBme280({ air: () => AIR })],
    });
    const live = rig.openEnd(board);
    const { records } = rig.openLink();
    await records.untilNext(0, isWeather);
    board.restart(live.nowS());
    await records.untilNext(0, isLink('running', /No reading from A0/));
    const from = records.items.length;
    await records.untilNext(from, isA0);
    await records.untilNext(from, isWeather);
    expect(changes(records.items)).not.toContain('lost');
    await records.until((all) => details(all).at(-1) === 'Firmware StandardFirmata.ino 2.6 is heard.');
  });

  test('a pin that stops alone: asked for again, then the port opened again once, then the rest goes on without it', async () => {
    const board = createFirmataBoard({
      firmwareName: 'StandardFirmata.ino',
      baudRate: 57_600,
      analogVolts: [() => 2, () => 1],
      i2cDevices: [createBme280({ air: () => AIR })],
    });
    let isMute = false;
    const advanceTo = (timeS: number) => board.advanceTo(timeS).filter(({ bytes }) => !isMute || bytes[0] !== 0xe0);
    rig.openEnd({ receive: board.receive, advanceTo });
    const { records } = rig.openLink({ analogPins: [0, 1] });
    await records.untilNext(0, isA0);
    isMute = true;
    await records.untilNext(0, isLink('running', /No reading from A0\.$/));
    await records.untilNext(0, isLink('lost', /No reading from A0 any more/));
    const lostAt = records.items.length;
    await records.untilNext(lostAt, isLink('running', /No reading from A0\.$/));
    const from = records.items.length;
    await records.until((all) => readings(all.slice(from), 'A1').length > 100 && all.slice(from).some(isWeather));
    expect(changes(records.items).filter((change) => change === 'lost')).toHaveLength(1);
    isMute = false;
    await records.untilNext(from, isA0);
  });

  test('two boards at once do not hear each other', async () => {
    const other = await openFirmataRig();
    rig.openBoard({ analogVolts: [() => 1] });
    other.openBoard({ analogVolts: [() => 4], i2cDevices: [createBme280({ air: () => ({ ...AIR, temperatureK: 300 }) })] });
    const [mine, its] = [rig.openLink(), other.openLink()];
    await mine.records.until((all) => all.some(isWeather) && all.filter(isA0).length > 20);
    await its.records.until((all) => all.some(isWeather) && all.filter(isA0).length > 20);
    await other.close();
    const from = mine.records.items.length;
    await mine.records.until((all) => all.slice(from).some(isWeather) && all.slice(from).some(isA0));
    expect(new Set(readings(mine.records.items, 'A0'))).toEqual(new Set([Math.floor((1 / 5) * 1024)]));
    expect(new Set(readings(its.records.items, 'A0'))).toEqual(new Set([Math.floor((4 / 5) * 1024)]));
    expect(Math.abs((readings(its.records.items, 'temperature')[0] ?? 0) - 300)).toBeLessThan(0.01);
    expect(changes(mine.records.items)).not.toContain('lost');
  });

  test('with a serial number it is found under another path, and taken on there', async () => {
    let listed: { path: string; serialNumber: string }[] = [];
    const elsewhere = `${rig.portPath}-of-old`;
    const { records } = rig.openLink({ path: elsewhere, serialNumber: 'A50285BI' }, {}, undefined, async () => listed);
    await records.untilNext(0, isLink('searching', /No port has the serial number A50285BI/));
    rig.openBoard();
    listed = [{ path: rig.portPath, serialNumber: 'A50285BI' }];
    await records.untilNext(0, isWeather);
    expect(records.items.findLast((record) => record.kind === 'link')?.value.path).toBe(rig.portPath);
    expect(changes(records.items)).toEqual(['searching', 'searching', 'opened', 'running']);
  });

  test('another device on the port is told as such: a gate board, and another firmware', async () => {
    let line = 0;
    const gate = rig.openEnd({
      receive: () => {},
      advanceTo: (timeS) => (timeS * 50 > line ? [{ timeS, bytes: Buffer.from(`HELLO ${line++} no Firmata here*4E2A\n`) }] : []),
    });
    const stranger = rig.openLink();
    await stranger.records.untilNext(0, isLink('wrong-device', /Nothing that speaks Firmata answers/));
    expect(stranger.records.items.some((record) => record.kind === 'reading')).toBe(false);
    await stranger.link.close();
    gate.stop();
    rig.openBoard({ firmwareName: 'LampFirmware.ino' });
    const { records } = rig.openLink({ firmware: 'StandardFirmata.ino' });
    await records.untilNext(0, isLink('wrong-device', /The firmware at .* is LampFirmware.ino, expected StandardFirmata.ino/));
    expect(records.items.some((record) => record.kind === 'reading')).toBe(false);
    expect(changes(records.items)).not.toContain('running');
  });
});

describe('a weather sensor behind the board', () => {
  const analogGoesOn = async (records: ReturnType<FirmataRig['openLink']>['records']) => {
    const from = records.items.length;
    await records.until((all) => all.slice(from).filter(isA0).length >= 20);
    return records.items.slice(from);
  };

  test('absent: told with what to look at, asked for again, and taken on when it is fitted; the pins go on', async () => {
    let isFitted = false;
    let asked = 0;
    const presentAt = () => {
      asked += 1;
      return isFitted;
    };
    rig.openBoard({ i2cDevices: [createBme280({ air: () => AIR, presentAt })] });
    const { link, records } = rig.openLink();
    await records.untilNext(0, isLink('running', /No BME280 answers at 0x76; check its wiring and its address/));
    expect(changes(await analogGoesOn(records))).toEqual([]);
    const before = listenersOf(link);
    const askedBefore = asked;
    await records.until(() => asked >= askedBefore + 12);
    // One question may be open.
    expect(listenersOf(link)).toBeLessThanOrEqual(before + 1);
    isFitted = true;
    await records.untilNext(0, isWeather);
    expect(details(records.items).at(-1)).toBe('Firmware StandardFirmata.ino 2.6 is heard.');
    expect(changes(records.items)).not.toContain('lost');
  });

  test('at the other address: told where it is', async () => {
    rig.openBoard({ i2cDevices: [createBme280({ air: () => AIR, address: 0x77 })] });
    const { records } = rig.openLink();
    await records.untilNext(0, isLink('running', /No BME280 answers at 0x76; one answers at 0x77/));
  });

  test('a BMP280 instead: told as such, never taken for a BME280', async () => {
    rig.openBoard({ i2cDevices: [createBme280({ air: () => AIR, chip: 'bmp280' })] });
    const { records } = rig.openLink();
    await records.untilNext(0, isLink('running', /is a BMP280 \(chip id 0x58\), which has no humidity; fit a BME280/));
    expect((await analogGoesOn(records)).some(isWeather)).toBe(false);
  });

  test('slow to come back from a reset: waited for, and its words are never read as zeros', async () => {
    rig.openBoard({ i2cDevices: [createBme280({ air: () => AIR, resetS: 0.4 })] });
    const { records } = rig.openLink();
    await records.untilNext(0, isWeather);
    expect(Math.abs((readings(records.items, 'temperature')[0] ?? 0) - AIR.temperatureK)).toBeLessThan(0.01);
  });

  test('without power for a moment: no reading of it, set up again, and on', async () => {
    const device = createBme280({ air: () => AIR });
    const live = rig.openBoard({ i2cDevices: [device] });
    const { records } = rig.openLink();
    await records.untilNext(0, isWeather);
    device.write(Uint8Array.of(0xe0, 0xb6), live.nowS());
    const from = records.items.length;
    await records.until((all) => all.slice(from).filter(isWeather).length >= 5);
    for (const kelvin of readings(records.items, 'temperature')) expect(Math.abs(kelvin - AIR.temperatureK)).toBeLessThan(0.01);
    for (const humidity of readings(records.items, 'humidity')) expect(Math.abs(humidity - AIR.relativeHumidity)).toBeLessThan(2e-4);
    expect(changes(records.items)).not.toContain('lost');
  });

  test('fallen off the bus: set up again, then the port opened again once, then the pins go on without it', async () => {
    let isFitted = true;
    rig.openBoard({ i2cDevices: [createBme280({ air: () => AIR, presentAt: () => isFitted })] });
    const { records } = rig.openLink();
    await records.untilNext(0, isWeather);
    isFitted = false;
    await records.untilNext(0, isLink('lost', /No BME280 answers at 0x76/));
    const lostAt = records.items.length;
    await records.untilNext(lostAt, isLink('running', /No BME280 answers at 0x76/));
    const after = await analogGoesOn(records);
    expect(after.some(isWeather)).toBe(false);
    expect(changes(records.items).filter((change) => change === 'lost')).toHaveLength(1);
    isFitted = true;
    await records.untilNext(lostAt, isWeather);
  });

  test.each(['in one arrival', 'apart'])(
    'fallen off the bus of an old firmware, which answers a failed read with a text and the last bytes it has, %s: not believed',
    async (how) => {
      let isFitted = true;
      const board = createFirmataBoard({
        firmwareName: 'StandardFirmata.ino',
        baudRate: 57_600,
        analogVolts: [() => 2],
        i2cDevices: [createBme280({ air: () => AIR, presentAt: () => isFitted })],
      });
      let lastCounts: Uint8Array = new Uint8Array(0);
      let repeated = 0;
      let text: Uint8Array = new Uint8Array(0);
      const asOld = (bytes: Uint8Array): Uint8Array => {
        // 13 registers from 0xF2; a failed read of them has no data.
        if (how === 'in one arrival' && bytes[1] === 0x71) {
          text = bytes;
          return new Uint8Array(0);
        }
        const before = text;
        text = new Uint8Array(0);
        const isOfCounts = bytes[1] === 0x77 && bytes[4] === 0x72 && bytes[5] === 1;
        if (isOfCounts && bytes.length > 7) lastCounts = bytes;
        if (!isOfCounts || bytes.length > 7) return Buffer.concat([before, bytes]);
        repeated += 1;
        return Buffer.concat([before, lastCounts]);
      };
      rig.openEnd({
        receive: board.receive,
        advanceTo: (timeS) => board.advanceTo(timeS).map((chunk) => ({ ...chunk, bytes: asOld(chunk.bytes) })),
      });
      const { records } = rig.openLink();
      await records.until((all) => all.filter(isWeather).length >= 2);
      isFitted = false;
      await records.until(() => repeated >= 1);
      const from = records.items.length;
      await records.untilNext(from, isLink('lost', /No BME280 answers at 0x76/));
      expect(repeated).toBeGreaterThan(1);
      expect(records.items.slice(from).some(isWeather)).toBe(false);
    },
  );

  test('pins that the board does not have are named', async () => {
    rig.openBoard();
    const { records } = rig.openLink({ analogPins: [0, 9] });
    await records.untilNext(0, isLink('running', /The board has no analog pin A9/));
    expect((await analogGoesOn(records)).length).toBeGreaterThan(0);
  });
});
