/** The simulated range as it is run for the demonstration: a process of its own, its port opened with the real serial binding. */
import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { existsSync, mkdtempSync, readFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { SerialPort } from 'serialport';
import { expect, test } from 'vitest';
import type { FromRange } from '../../firmware-sim/main.ts';
import { BOARDS } from '../../firmware-sim/range.ts';
import { encodeMessage } from '../../protocol/index.ts';

const PROGRAM = fileURLToPath(new URL('../../firmware-sim/main.ts', import.meta.url));

function start(...more: string[]) {
  const folder = mkdtempSync(path.join(tmpdir(), 'range-'));
  const truthFile = path.join(folder, 'truth.jsonl');
  const args = ['--wires', folder, '--seed', '7', '--pace', 'fast', '--truth', truthFile, ...more];
  return { child: fork(PROGRAM, args, { execArgv: ['--import', 'tsx'] }), folder, truthFile, port: path.join(folder, 'gate-board') };
}

async function heard<T extends FromRange['type']>(child: ChildProcess, type: T): Promise<FromRange & { type: T }> {
  for (;;) {
    const [message] = (await once(child, 'message')) as [FromRange];
    if (message.type === type) return message as FromRange & { type: T };
  }
}

/** Opens the port, asks who is there, and waits for the whole line of the answer. */
async function whoIsThere(port: string): Promise<{ serial: SerialPort; hello: string }> {
  const serial = new SerialPort({ path: port, baudRate: 500_000 });
  await once(serial, 'open');
  serial.write(`${encodeMessage({ kind: 'WHO' }, 0)}\n`);
  let text = '';
  for (;;) {
    const [bytes] = (await once(serial, 'data')) as [Buffer];
    text += bytes.toString('latin1');
    const hello = /^HELLO .*$/m.exec(text.slice(0, text.lastIndexOf('\n') + 1));
    if (hello) return { serial, hello: hello[0] };
  }
}

test('fires, writes its truth, loses and finds its wire, restarts its board, and ends when told', async () => {
  const { child, truthFile, port } = start('--shots', '1');
  const ended = once(child, 'exit');
  expect((await heard(child, 'ready')).paths).toEqual(BOARDS.map((board) => path.join(path.dirname(port), board)));
  const first = await whoIsThere(port);
  expect(first.hello).toContain(' CS-GB-01 ');
  first.serial.on('error', () => {});
  first.serial.resume();
  expect((await heard(child, 'fired')).number).toBe(1);
  const truth = JSON.parse(readFileSync(truthFile, 'utf8'));
  expect(truth.firedAt).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z$/);
  expect(truth.muzzleVelocityMps).toBeGreaterThan(150);

  const closed = once(first.serial, 'close');
  child.send({ type: 'unplug' });
  await heard(child, 'unplugged');
  await closed;
  expect(existsSync(port)).toBe(false);
  child.send({ type: 'replug' });
  await heard(child, 'replugged');
  const second = await whoIsThere(port);
  // The same life of the board: it ran on while nobody listened.
  const bootOf = (hello: string): string | undefined => hello.split(' ')[4];
  expect(bootOf(second.hello)).toBe(bootOf(first.hello));

  child.send({ type: 'restart-board' });
  const said = once(second.serial, 'data');
  await said;
  second.serial.close();
  await once(second.serial, 'close');
  const third = await whoIsThere(port);
  expect(bootOf(third.hello)).not.toBe(bootOf(first.hello));
  third.serial.on('error', () => {});
  third.serial.resume();

  child.send({ type: 'stop' });
  expect(await ended).toEqual([0, null]);
  expect(existsSync(port)).toBe(false);
});

test('its instruments speak on wires of their own, each pulled by its name; its rig file is written', async () => {
  const rigFile = path.join(mkdtempSync(path.join(tmpdir(), 'range-')), 'heron.yaml');
  const { child, folder } = start('--rig', rigFile);
  const ended = once(child, 'exit');
  await heard(child, 'ready');
  expect(readFileSync(rigFile, 'utf8')).toContain('wind-meter');
  expect(await firstOf(path.join(folder, 'fill-gauge'), 9600, /^P=-?\d+\.\d{3} bar\r$/m)).toBeDefined();
  expect(await firstOf(path.join(folder, 'wind-meter'), 4800, /^W [-+]\d+\.\d\d m\/s\r$/m)).toBeDefined();
  // Asked for its firmware it says its name, each character in two bytes.
  const name = await firstOf(path.join(folder, 'weather-board'), 57_600, /C\0o\0l\0d\0S\0i\0k\0e\0/, Uint8Array.of(0xf0, 0x79, 0xf7));
  expect(name).toBeDefined();
  child.send({ type: 'unplug', board: 'wind-meter' });
  await heard(child, 'unplugged');
  expect(BOARDS.filter((board) => existsSync(path.join(folder, board)))).toEqual(['gate-board', 'weather-board', 'fill-gauge']);
  child.send({ type: 'stop' });
  expect(await ended).toEqual([0, null]);
  expect(BOARDS.filter((board) => existsSync(path.join(folder, board)))).toEqual([]);
});

/** Opens a port, says something if it is to, and waits for what is looked for. */
async function firstOf(port: string, baudRate: number, wanted: RegExp, said?: Uint8Array): Promise<string> {
  const serial = new SerialPort({ path: port, baudRate });
  await once(serial, 'open');
  if (said) serial.write(Buffer.from(said));
  let text = '';
  for (;;) {
    const [bytes] = (await once(serial, 'data')) as [Buffer];
    text += bytes.toString('latin1');
    const [found] = wanted.exec(text) ?? [];
    if (found === undefined) continue;
    serial.close();
    await once(serial, 'close');
    return found;
  }
}

test('ends by itself when its parent lets go of it', async () => {
  const { child, port } = start();
  const ended = once(child, 'exit');
  await heard(child, 'ready');
  child.disconnect();
  expect(await ended).toEqual([0, null]);
  expect(existsSync(port)).toBe(false);
});

test('an argument that does not fit ends it with code 2', async () => {
  const { child } = start('--faults', 'rain');
  expect(await once(child, 'exit')).toEqual([2, null]);
});
