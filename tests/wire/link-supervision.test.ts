/** What every link does whatever its kind: finds its device again, knows a wrong one, and ends in a state, not in the process. */
import { symlinkSync } from 'node:fs';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { GateBoardLink, LINK_TIMING, PortBook, SupervisedLink, TextLink } from '../../host/links/index.ts';
import type { PosternRecord } from '../../protocol/index.ts';
import { answersAs, plainDevice, QUICK, WiredLinks } from '../support/wired-links.ts';

const TIMING = { ...LINK_TIMING, ...QUICK };
let rig: WiredLinks;
beforeEach(() => {
  rig = new WiredLinks();
});
afterEach(() => rig.close());

const changes = (source: string) => rig.states(source).map((state) => state.change);
const gate = (boardId: string, name = 'gates', path = name) =>
  rig.started(new GateBoardLink({ name, path: rig.path(path), baudRate: 115_200, boardId }, rig.ports, TIMING));

test('a device with a serial number is found under whatever path it comes back', async () => {
  const setup = { name: 'gauge', serialNumber: 'A50285BI', baudRate: 9600 };
  rig.started(new TextLink(setup, rig.ports, TIMING));
  await rig.reaches('gauge', 'searching', 2);
  for (const [round, name] of ['usb0', 'usb1', 'usb0', 'usb7'].entries()) {
    const wire = await rig.wire(name);
    const other = await rig.wire('other');
    rig.listed = [
      { path: rig.path('other'), serialNumber: 'A50285BX' },
      { path: rig.path('none') },
      { path: rig.path(name), serialNumber: 'A50285BI' },
    ];
    // What waits in a port is thrown away when it is opened.
    await rig.reaches('gauge', 'opened', round + 1);
    other.write(Buffer.from('P=9.9999 bar\r\n'));
    wire.write(Buffer.from(`P=${round}.0000 bar\r\n`));
    await rig.hears('gauge', `P=${round}.0000 bar`);
    expect(rig.states('gauge').at(-1)).toMatchObject({ change: 'running', path: rig.path(name) });
    rig.listed = [];
    await wire.close();
    await rig.reaches('gauge', 'lost', round + 1);
    await other.close();
  }
  expect(rig.texts('gauge')).toEqual([0, 1, 2, 3].map((round) => `P=${round}.0000 bar`));
});

test('says why, and uses the path, where ports cannot be listed', async () => {
  const book = new PortBook({ list: () => Promise.reject(new Error('udevadm is not installed')) });
  const setup = { name: 'gauge', serialNumber: 'A50285BI', path: rig.path('gauge'), baudRate: 9600 };
  rig.started(new TextLink(setup, { ...rig.ports, book }, TIMING));
  await rig.reaches('gauge', 'searching', 2);
  expect(rig.states('gauge').at(-1)?.detail).toContain('udevadm is not installed');
  const wire = await rig.wire('gauge');
  await rig.reaches('gauge', 'opened');
  wire.write(Buffer.from('here\r'));
  await rig.hears('gauge', 'here');
});

test('a board that has left its path is found by what it says, and no port is opened that belongs to another link', async () => {
  const home = await rig.wire('gates');
  answersAs(home, 'CS-GB-01');
  const gauge = await rig.wire('gauge');
  const heardByGauge: string[] = [];
  gauge.onData((bytes) => heardByGauge.push(Buffer.from(bytes).toString('latin1')));
  const stranger = answersAs(await rig.wire('stranger'), 'CS-GB-09');
  rig.started(new TextLink({ name: 'gauge', path: rig.path('gauge'), baudRate: 9600, silentAfterMs: 30 }, rig.ports, TIMING));
  gate('CS-GB-01');
  await rig.reaches('gates', 'running');
  // The system lists plain names; the rig file may hold a link to one.
  symlinkSync(rig.path('gauge'), rig.path('ttyGauge'));
  rig.listed = ['ttyGauge', 'stranger', 'moved'].map((name) => ({ path: rig.path(name) }));
  await home.close();
  await rig.reaches('gates', 'lost');
  const moved = await rig.wire('moved');
  answersAs(moved, 'CS-GB-01');
  await rig.reaches('gates', 'running', 2);
  expect(rig.states('gates').at(-1)).toMatchObject({ change: 'running', path: rig.path('moved') });
  expect(changes('gates')).toEqual(['opening', 'opened', 'running', 'lost', 'opened', 'running']);
  expect(stranger.asked()).toBeGreaterThan(0);
  expect(rig.texts('gates').join()).not.toContain('CS-GB-09');
  // The gauge's link was silent, its port closed now and then: still nobody asked there.
  expect(heardByGauge.join('')).toBe('');
  await moved.unplug();
  await rig.reaches('gates', 'lost', 2);
  await moved.replug();
  await rig.reaches('gates', 'running', 3);
});

test('two boards with their cables crossed are both found', async () => {
  answersAs(await rig.wire('a'), 'CS-GB-02');
  answersAs(await rig.wire('b'), 'CS-GB-01');
  rig.listed = [{ path: rig.path('a') }, { path: rig.path('b') }];
  gate('CS-GB-01', 'first', 'a');
  gate('CS-GB-02', 'second', 'b');
  await rig.reaches('first', 'running', 2);
  await rig.reaches('second', 'running', 2);
  expect(rig.states('first').at(-1)?.path).toBe(rig.path('b'));
  expect(rig.states('second').at(-1)?.path).toBe(rig.path('a'));
  for (const source of ['first', 'second']) expect(changes(source)).toContain('wrong-device');
});

test('a wrong board is told once, asked again slowly, and forgiven when the right one is plugged in', async () => {
  const wrong = await rig.wire('gates');
  const asked = answersAs(wrong, 'CS-GB-02');
  gate('CS-GB-01');
  await rig.reaches('gates', 'wrong-device');
  expect(rig.states('gates').at(-1)?.detail).toBe(
    `Board CS-GB-02 is at ${rig.path('gates')}; the rig file expects CS-GB-01. Check which cable goes where.`,
  );
  const linesThen = rig.texts('gates').length;
  await new Promise<void>((resolve) => {
    wrong.onData(() => asked.asked() >= 4 && resolve());
  });
  expect(changes('gates')).toEqual(['opening', 'opened', 'running', 'wrong-device']);
  // What it says while it is asked again is not taken for the board's.
  expect(rig.texts('gates').length).toBe(linesThen);
  expect(rig.texts('gates').at(-1)).toContain('HELLO');
  await wrong.close();
  await rig.reaches('gates', 'searching');
  answersAs(await rig.wire('gates'), 'CS-GB-01');
  await rig.reaches('gates', 'running', 2);
});

test('a driver that throws, wherever it does, loses its link and nothing else', async () => {
  const places = ['converse', 'onBytes', 'onLine', 'onClosed', 'timer'] as const;
  const broken = (place: (typeof places)[number]) => {
    let rounds = 0;
    const throwAt = (here: string): void => {
      if (here === place && rounds <= 3) throw new TypeError(`planted at ${place}`);
    };
    return plainDevice(place, rig.path(place), {
      converse: (line) => {
        rounds += 1;
        throwAt('converse');
        line.after(5, () => throwAt('timer'));
        return {
          onBytes: () => {
            throwAt('onBytes');
            line.accept('Heard.');
          },
          onLine: (bytes) => {
            throwAt('onLine');
            line.record({ kind: 'line', source: place, atNs: line.arrivedAtNs, bytes });
          },
          onClosed: () => throwAt('onClosed'),
        };
      },
    });
  };
  const sound = await rig.wire('sound');
  rig.started(new SupervisedLink(plainDevice('sound', rig.path('sound')), rig.ports, TIMING));
  await rig.reaches('sound', 'opened');
  sound.write(Buffer.from('first\n'));
  await rig.hears('sound', 'first');
  for (const place of places) {
    const wire = await rig.wire(place);
    const talk = setInterval(() => wire.write(Buffer.from('on\n')), 3);
    rig.started(new SupervisedLink(broken(place), rig.ports, TIMING));
    if (place === 'onClosed') {
      await rig.reaches(place, 'running');
      await wire.unplug();
      await wire.replug();
    }
    if (place !== 'onClosed') await rig.reaches(place, 'lost', 3);
    const heard = rig.texts(place).length;
    await rig.records.until(() => rig.texts(place).length > heard + 2);
    clearInterval(talk);
    expect(rig.states(place).at(-1)?.change).toBe('running');
    const lost = rig.states(place).filter((state) => state.change === 'lost');
    if (place === 'onClosed') continue;
    expect(lost.length, place).toBe(3);
    expect(lost[0]?.detail).toBe(`The host's driver for it failed (TypeError: planted at ${place}); the port is opened anew.`);
  }
  sound.write(Buffer.from('last\n'));
  await rig.hears('sound', 'last');
  expect(changes('sound')).toEqual(['opening', 'opened', 'running']);
});

test('where the host throws on a record, the link is lost, and says so when the host takes records again', async () => {
  const wire = await rig.wire('gauge');
  let refused = 0;
  const onRecord = (record: PosternRecord): void => {
    if (refused < 2 && (record.kind === 'line' || refused > 0)) {
      refused += 1;
      throw new Error('planted in the host');
    }
    rig.records.add(record);
  };
  const talk = setInterval(() => wire.write(Buffer.from('on\n')), 3);
  rig.started(new SupervisedLink(plainDevice('gauge', rig.path('gauge')), { ...rig.ports, onRecord }, TIMING));
  await rig.hears('gauge', 'on');
  clearInterval(talk);
  expect(refused).toBe(2);
  expect(changes('gauge')).toEqual(['opening', 'opened', 'running', 'lost', 'opened', 'running']);
  expect(rig.states('gauge')[3]?.detail).toContain('planted in the host');
});

test('a device that its kind refuses is a wrong device, and one that never says who it is, too', async () => {
  const wire = await rig.wire('probe');
  const talk = setInterval(() => wire.write(Buffer.from('GPS\n')), 5);
  const kind = plainDevice('probe', rig.path('probe'), { converse: () => ({}) });
  rig.started(new SupervisedLink(kind, rig.ports, { ...TIMING, proofMs: 50 }));
  await rig.reaches('probe', 'wrong-device');
  clearInterval(talk);
  expect(rig.states('probe').at(-1)?.detail).toContain('does not answer as the device that the rig file names');
});
