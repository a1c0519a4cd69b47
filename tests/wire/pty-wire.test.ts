/** The pseudo-terminal as a wire, seen from the host's end through plain files and the real serial binding. */
import fs, { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { SerialPort } from 'serialport';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { openPtyWire, type PtyWire } from '../../firmware-sim/wires/pty.ts';

let folder: string;
let portPath: string;
let wires: PtyWire[];
let ports: SerialPort[];

beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'postern-pty-'));
  portPath = path.join(folder, 'made', 'gate');
  wires = [];
  ports = [];
});

afterEach(async () => {
  for (const port of ports) if (port.isOpen) await new Promise((resolve) => port.close(resolve));
  for (const wire of wires) await wire.close();
  rmSync(folder, { recursive: true, force: true });
});

async function openWire(): Promise<PtyWire> {
  const wire = await openPtyWire(portPath);
  wires.push(wire);
  return wire;
}

async function openPort(): Promise<SerialPort> {
  const port = new SerialPort({ path: portPath, baudRate: 115_200, autoOpen: false });
  ports.push(port);
  port.on('error', () => {});
  await new Promise<void>((resolve, reject) => port.open((error) => (error ? reject(error) : resolve())));
  return port;
}

/** Resolves with the first bytes that arrive, as soon as they are as many. */
function arrival(listen: (listener: (bytes: Uint8Array) => void) => void, count: number): Promise<Buffer> {
  return new Promise((resolve) => {
    let got = Buffer.alloc(0);
    listen((bytes) => {
      got = Buffer.concat([got, bytes]);
      if (got.length >= count) resolve(got);
    });
  });
}

const everyByte = Uint8Array.from({ length: 256 }, (_, value) => value);

describe('a pseudo-terminal wire', () => {
  test('carries every byte value both ways, unchanged, and echoes nothing', async () => {
    const wire = await openWire();
    const port = await openPort();
    const atHost = arrival((listener) => port.on('data', listener), 256);
    const atBoard = arrival((listener) => wire.onData(listener), 256);
    const reused = Uint8Array.from(everyByte);
    wire.write(reused);
    reused.fill(0);
    port.write(Buffer.from(everyByte));
    expect(new Uint8Array(await atHost)).toEqual(everyByte);
    expect(new Uint8Array(await atBoard)).toEqual(everyByte);
  });

  test('carries far more than the system buffers, host and board in one process', async () => {
    const wire = await openWire();
    const port = await openPort();
    const sent = Buffer.alloc(200_000, 'The Cold Sike range. ');
    const atHost = arrival((listener) => port.on('data', listener), sent.length);
    wire.write(sent);
    expect((await atHost).equals(sent)).toBe(true);
    expect(wire.droppedBytes).toBe(0);
  });

  test('drops and counts the newest bytes while nobody reads', async () => {
    const wire = await openWire();
    const block = new Uint8Array(64 * 1024);
    for (let i = 0; i < 10; i += 1) wire.write(block);
    expect(wire.droppedBytes).toBeGreaterThanOrEqual(5 * block.length);
    expect(wire.droppedBytes).toBeLessThanOrEqual(6 * block.length);
  });

  test('is opened again and again by hosts that come and go', async () => {
    const wire = await openWire();
    for (let i = 0; i < 3; i += 1) {
      const port = await openPort();
      const atHost = arrival((listener) => port.on('data', listener), 5);
      wire.write(Buffer.from('hello'));
      expect(String(await atHost)).toBe('hello');
      await new Promise((resolve) => port.close(resolve));
    }
  });

  test('pulled out, closes the host’s port and takes the path away; put back, is a new terminal at the same path', async () => {
    const wire = await openWire();
    const hostFd = fs.openSync(portPath, fs.constants.O_RDWR | fs.constants.O_NOCTTY | fs.constants.O_NONBLOCK);
    const read = () => fs.readSync(hostFd, Buffer.alloc(16));
    expect(read).toThrow(/EAGAIN/);
    await wire.unplug();
    // End of file or EIO, as the system likes: no longer "nothing yet".
    expect(() => {
      if (read() === 0) throw new Error('end of file');
    }).toThrow(/end of file|EIO/);
    fs.closeSync(hostFd);
    expect(fs.existsSync(portPath)).toBe(false);
    wire.write(Buffer.from('to nobody'));
    await wire.unplug();
    // Takes the old terminal's number, so that a link left as it was would lead to the wrong one.
    const holder = await openPtyWire(path.join(folder, 'holder'));
    wires.push(holder);
    await wire.replug();
    await wire.replug();
    expect(fs.readlinkSync(portPath)).not.toBe(fs.readlinkSync(path.join(folder, 'holder')));
    const again = await openPort();
    const atHost = arrival((listener) => again.on('data', listener), 5);
    wire.write(Buffer.from('after'));
    expect(String(await atHost)).toBe('after');
    await wire.close();
    await expect(wire.replug()).rejects.toThrow(/was closed/);
  });

  test('replaces an old link and nothing else', async () => {
    fs.mkdirSync(path.dirname(portPath));
    fs.symlinkSync('/nowhere', portPath);
    const wire = await openWire();
    await wire.close();
    fs.writeFileSync(portPath, 'a file of somebody');
    await expect(openPtyWire(portPath)).rejects.toThrow(/no symbolic link/);
    expect(fs.readFileSync(portPath, 'utf8')).toBe('a file of somebody');
  });
});
