/** A text instrument from what it prints to named numbers, through a pseudo-terminal; its polling, its silence, its line endings. */
import { afterEach, beforeEach, expect, test } from 'vitest';
import { GAUGE } from '../../firmware-sim/boards/text-formats.ts';
import { createTextInstrument } from '../../firmware-sim/boards/text-instrument.ts';
import { CONTINUED, LINK_TIMING, PIECE_BYTES_MAX, TextLink, type TextSetup } from '../../host/links/index.ts';
import { textReader } from '../../host/rig/index.ts';
import { layoutOf } from '../support/layout-of.ts';
import { QUICK, WiredLinks } from '../support/wired-links.ts';

let rig: WiredLinks;
beforeEach(() => {
  rig = new WiredLinks();
});
afterEach(() => rig.close());

const open = (more: Partial<TextSetup> = {}) =>
  rig.started(new TextLink({ name: 'gauge', path: rig.path('gauge'), baudRate: 9600, ...more }, rig.ports, { ...LINK_TIMING, ...QUICK }));

test('lines end in CR, LF or both, wherever the bytes are cut, and are bounded', async () => {
  const wire = await rig.wire('gauge');
  open();
  await rig.reaches('gauge', 'opened');
  const text = `one\rtwo\nthree\r\nfour\n\rfive\r\r\n${'x'.repeat(PIECE_BYTES_MAX + 5)}\rsix\r\n`;
  for (const byte of Buffer.from(text)) wire.write(Uint8Array.of(byte));
  await rig.hears('gauge', 'six');
  const long = ['x'.repeat(PIECE_BYTES_MAX), `${String.fromCharCode(CONTINUED)}xxxxx`];
  expect(rig.texts('gauge')).toEqual(['one', 'two', 'three', 'four', 'five', ...long, 'six']);
  expect(rig.states('gauge').map(({ change }) => change)).toEqual(['opening', 'opened', 'running']);
});

test('an instrument that prints only when asked is asked with CR LF, and its answers are read', async () => {
  const wire = await rig.wire('gauge');
  const instrument = createTextInstrument({
    seed: 3,
    name: 'gauge',
    baudRate: 9600,
    print: (timeS) => GAUGE.line(1e5 + 1e3 * timeS),
    when: { poll: 'READ?', answersAfterS: 0.01 },
  });
  let questions = 0;
  let timeS = 0;
  wire.onData((bytes) => {
    questions += Buffer.from(bytes).toString('latin1').split('READ?\r\n').length - 1;
    timeS += 1;
    instrument.receive(bytes, timeS);
    for (const chunk of instrument.advanceTo(timeS + 0.5)) wire.write(chunk.bytes);
  });
  open({ poll: { text: 'READ?', everyMs: 10 } });
  await rig.records.until(() => rig.texts('gauge').length >= 5);
  expect(questions).toBeGreaterThanOrEqual(5);
  const read = rig.texts('gauge').map((text) => textReader(layoutOf(GAUGE))(Buffer.from(text, 'latin1')));
  expect(read.slice(0, 2)).toEqual([
    { ok: true, values: { pressure: 1.0101 }, unreadable: [] },
    { ok: true, values: { pressure: 1.0201 }, unreadable: [] },
  ]);
});

test('an instrument that has fallen silent is told once, asked on, and runs again with its first byte', async () => {
  const wire = await rig.wire('gauge');
  open({ poll: { text: 'READ?', everyMs: 10 }, silentAfterMs: 60 });
  await rig.reaches('gauge', 'silent');
  let asked = 0;
  await new Promise<void>((resolve) => {
    wire.onData(() => {
      asked += 1;
      if (asked === 20) resolve();
    });
  });
  expect(rig.states('gauge').map(({ change }) => change)).toEqual(['opening', 'opened', 'silent']);
  wire.onData(() => wire.write(Buffer.from('P=1.0000 bar\r\n')));
  await rig.hears('gauge', 'P=1.0000 bar');
  expect(rig.states('gauge').map(({ change }) => change)).toEqual(['opening', 'opened', 'silent', 'opened', 'running']);
});
