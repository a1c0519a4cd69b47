/** From bytes to counts: the guarded transport in front of the real library, and the checks behind it. No port. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { AnalogPins } from '../../host/links/firmata/analog-pins.ts';
import { FirmataClient } from '../../host/links/firmata/firmata-client.ts';
import { MESSAGE_BYTES_MAX } from '../../host/links/firmata/guarded-transport.ts';
import { createStepGuard } from '../../host/links/firmata/step-guard.ts';

const VERSION = [0xf9, 2, 6];
const analog = (channel: number, counts: number) => [0xe0 | channel, counts & 0x7f, counts >> 7];

function openClient() {
  const faults: string[] = [];
  const client = new FirmataClient({ askMs: 100, answerMs: 1000, i2cMs: 100 }, { onFault: (detail) => faults.push(detail) });
  client.attach({ write: () => true });
  client.receive(Uint8Array.from(VERSION));
  const counts = (bytes: readonly number[]) => client.receive(Uint8Array.from(bytes)).flatMap((group) => [...group]);
  return { client, counts, faults };
}

describe('what the library makes of bytes', () => {
  test('counts come through whole, in order, however the bytes were cut', () => {
    const reports = fc.array(fc.tuple(fc.integer({ min: 0, max: 15 }), fc.integer({ min: 0, max: 16383 })), { maxLength: 30 });
    fc.assert(
      fc.property(reports, fc.array(fc.nat(90), { maxLength: 10 }), (sent, cuts) => {
        const { client, counts } = openClient();
        const bytes = sent.flatMap(([channel, value]) => analog(channel, value));
        const places = [0, ...cuts.filter((at) => at < bytes.length).sort((a, b) => a - b), bytes.length];
        const got = places.slice(1).flatMap((to, i) => counts(bytes.slice(places[i], to)));
        client.close();
        expect(got).toEqual(sent);
      }),
    );
  });

  test('pins of one arrival come together, a pin that comes twice in two groups', () => {
    const { client } = openClient();
    const groups = client.receive(Uint8Array.from([...analog(0, 1), ...analog(1, 2), ...analog(0, 3), ...analog(1, 4)]));
    expect(groups.map((group) => [...group])).toEqual([
      [
        [0, 1],
        [1, 2],
      ],
      [
        [0, 3],
        [1, 4],
      ],
    ]);
    client.close();
  });

  test('nothing is taken for an answer before the version has come, on every connection anew', () => {
    const { client, counts } = openClient();
    expect(counts(analog(0, 5))).toEqual([[0, 5]]);
    client.detach();
    client.attach({ write: () => true });
    expect(counts(analog(0, 6))).toEqual([]);
    expect(counts([...VERSION, ...analog(0, 7)])).toEqual([[0, 7]]);
    client.close();
  });

  test.each([
    ['a firmware report without a name', [0xf0, 0x79, 0xf7]],
    ['the state of a pin that is not there', [0xf0, 0x6e, 127, 1, 1, 0xf7]],
    ['a mapping of more pins than there are', [0xf0, 0x6a, ...new Array<number>(120).fill(0), 0xf7]],
  ])('%s: a fault, and the messages before and after it in the same arrival come through', (_, message) => {
    const { client, counts, faults } = openClient();
    expect(counts([...analog(0, 100), ...message, ...analog(1, 200), ...message, ...analog(2, 300)])).toEqual([
      [0, 100],
      [1, 200],
      [2, 300],
    ]);
    expect(faults).toHaveLength(2);
    client.close();
  });

  test('a message that never ends is given up, and what follows comes through', () => {
    const { client, counts, faults } = openClient();
    const endless = [0xf0, 0x71, ...new Array<number>(3 * MESSAGE_BYTES_MAX).fill(0x41)];
    expect(counts([...endless, 0xf7, ...analog(3, 33)])).toEqual([[3, 33]]);
    expect(faults).not.toEqual([]);
    client.close();
  });

  test('no bytes at all get past it as an exception', () => {
    const { client } = openClient();
    const hostile = fc.array(
      fc.oneof(fc.integer({ min: 0, max: 255 }), fc.constantFrom(0xf0, 0xf7, 0xf9, 0x6a, 0x6c, 0x6e, 0x77, 0x79, 0x73, 0x43, 0x60)),
      {
        maxLength: 200,
      },
    );
    fc.assert(
      fc.property(hostile, (bytes) => {
        for (const group of client.receive(Uint8Array.from([...VERSION, ...bytes]))) {
          for (const [channel, value] of group) expect(channel >= 0 && channel <= 15 && Number.isInteger(value)).toBe(true);
        }
      }),
      { numRuns: 500 },
    );
    client.close();
  });

  test('one of three analog bytes lost never gives a count within the scale that was not sent', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 1023 }), { minLength: 3, maxLength: 12 }), fc.nat(), (values, at) => {
        const { client, counts } = openClient();
        const bytes = values.flatMap((value) => analog(0, value));
        bytes.splice(at % bytes.length, 1);
        const got = counts(bytes).flatMap(([channel, value]) => (channel === 0 && value <= 1023 ? [value] : []));
        client.close();
        // Each is one that was sent, in order: at most the hurt one and its neighbour are missing.
        let from = 0;
        for (const value of got) {
          const found = values.indexOf(value, from);
          expect(found).toBeGreaterThanOrEqual(0);
          from = found + 1;
        }
        expect(got.length).toBeGreaterThanOrEqual(values.length - 2);
      }),
    );
  });
});

describe('what is believed', () => {
  const near = (a: number, b: number) => Math.abs(a - b) <= 10;

  test.each(['confirmation', 'no-return'] as const)('a value that stands alone is not (%s)', (needs) => {
    const guard = createStepGuard(near, needs);
    const believed = [5, 6, 900, 7, 8].flatMap((value, i) => guard.take(value, i).map((one) => one.value));
    expect(believed).toEqual([5, 6, 7, 8]);
    expect(guard.dropped).toBe(1);
  });

  test.each(['confirmation', 'no-return'] as const)('a step that lasts is, with the times of arrival (%s)', (needs) => {
    const guard = createStepGuard(near, needs);
    const believed = [5, 6, 900, 901].flatMap((value, i) => guard.take(value, i));
    expect(believed).toEqual([5, 6, 900, 901].map((value, atNs) => ({ value, atNs })));
  });

  test('values that swing all the time get through where they may, and never where they must be confirmed', () => {
    const swing = Array.from({ length: 20 }, (_, i) => 100 * ((i * 7) % 11));
    const free = createStepGuard(near, 'no-return');
    expect(swing.flatMap((value, i) => free.take(value, i)).length).toBeGreaterThanOrEqual(18);
    const strict = createStepGuard(near, 'confirmation');
    expect(swing.flatMap((value, i) => strict.take(value, i))).toEqual([]);
  });

  test('each believed value was taken, once, in the order of arrival; each other one is counted or still waits', () => {
    const run = fc.array(fc.integer({ min: 0, max: 60 }), { maxLength: 60 });
    fc.assert(
      fc.property(run, fc.constantFrom('confirmation' as const, 'no-return' as const), (values, needs) => {
        const guard = createStepGuard(near, needs);
        const believed = values.flatMap((value, atNs) => guard.take(value, atNs));
        expect(believed.every(({ value, atNs }) => values[atNs] === value)).toBe(true);
        expect(believed.map(({ atNs }) => atNs)).toEqual([...new Set(believed.map(({ atNs }) => atNs))].sort((a, b) => a - b));
        const waiting = values.length - believed.length - guard.dropped;
        expect(waiting === 0 || waiting === 1).toBe(true);
      }),
    );
  });

  test('counts beyond the scale are none, and a pin that nobody wants is passed over', () => {
    const pins = new AnalogPins([0, 2]);
    pins.begin(1023);
    pins.take(new Map([[0, 500]]), 1);
    const got = pins.take(
      new Map([
        [0, 501],
        [1, 7],
        [2, 1024],
      ]),
      2,
    );
    expect(got).toEqual([
      { atNs: 1, value: { A0: 500 } },
      { atNs: 2, value: { A0: 501 } },
    ]);
    expect(pins.dropped).toBe(1);
  });

  test('after a new opening nothing of before is handed over', () => {
    const pins = new AnalogPins([0]);
    pins.begin(1023);
    pins.take(new Map([[0, 100]]), 1);
    pins.begin(1023);
    pins.take(new Map([[0, 101]]), 2);
    expect(pins.take(new Map([[0, 102]]), 3)).toEqual([
      { atNs: 2, value: { A0: 101 } },
      { atNs: 3, value: { A0: 102 } },
    ]);
  });

  test('however many reports come in one arrival, each that is believed is a reading of its own', () => {
    const pins = new AnalogPins([0, 1]);
    pins.begin(1023);
    // Pin 0 goes round in steps that need the next report to be believed, which is near.
    const reports = Array.from({ length: 300 }, (_, i) => [((200 * Math.floor(i / 2)) % 1000) + (i % 2), i] as const);
    const read: number[][] = [[], []];
    let at = 0;
    for (let size = 1; at < reports.length; size = 1 + ((size + 2) % 7)) {
      const arrival = reports.slice(at, at + size);
      const readings = arrival.flatMap(([a, b]) =>
        pins.take(
          new Map([
            [0, a],
            [1, b],
          ]),
          at,
        ),
      );
      for (const { value } of readings) for (const [name, count] of Object.entries(value)) read[Number(name.slice(1))]?.push(count);
      at += size;
    }
    // The newest of pin 0 may still wait to be confirmed.
    expect(read[0]).toEqual(reports.map(([a]) => a).slice(0, read[0]?.length));
    expect(reports.length - (read[0]?.length ?? 0)).toBeLessThanOrEqual(1);
    expect(read[1]).toEqual(reports.map(([, b]) => b));
    expect(pins.dropped).toBe(0);
  });

  test('silence is counted in looks', () => {
    const pins = new AnalogPins([0, 1]);
    pins.begin(1023);
    pins.take(new Map([[0, 100]]), 1);
    const looks = Array.from({ length: 7 }, () => pins.look(3));
    expect(looks.map(({ names }) => names.length)).toEqual([0, 0, 2, 2, 2, 2, 2]);
    expect(looks.map(({ isDue }) => isDue)).toEqual([false, false, true, false, false, true, false]);
    // A pin that never spoke is no reason to open the port again.
    expect(looks.map(({ fallen }) => fallen)).toEqual([undefined, undefined, undefined, undefined, undefined, 'A0', 'A0']);
  });
});
