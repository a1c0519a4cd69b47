/** The flashable board's serial unit at one end of a real pseudo-terminal, the host's own serial binding at the other. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { SerialPort } from 'serialport';
import { expect, test } from 'vitest';
import { buildFirmware, createAvrBoard } from '../../firmware-sim/avr/bench/index.ts';
import { openPtyWire } from '../../firmware-sim/wires/pty.ts';
import { decodeBoardLine, encodeMessage } from '../../protocol/index.ts';

test('answers WHO and PING over it', async () => {
  const folder = mkdtempSync(path.join(tmpdir(), 'avr-pty-'));
  const wire = await openPtyWire(path.join(folder, 'gate-board'));
  const board = createAvrBoard({
    program: buildFirmware().program,
    seed: 1,
    tickRateErrorPpmMax: 50,
    inputs: { takeEdges: () => [], sampleCounts: () => 512 },
  });
  let timeS = 0;
  wire.onData((bytes) => board.receive(Uint8Array.from(bytes), timeS));
  const port = new SerialPort({ path: path.join(folder, 'gate-board'), baudRate: 500_000, autoOpen: false });
  try {
    await new Promise<void>((resolve, reject) => port.open((error) => (error ? reject(error) : resolve())));
    let text = '';
    port.on('data', (bytes: Buffer) => {
      text += bytes.toString('latin1');
    });
    port.write(`${encodeMessage({ kind: 'WHO' }, 0)}\n${encodeMessage({ kind: 'PING', token: '00000000CAFE0000' }, 1)}\n`);
    // The board runs on for as long as the terminal takes; how long that is does not matter.
    while (!/STAMP [^\n]*\n/.test(text)) {
      timeS += 0.002;
      for (const { bytes } of board.advanceTo(timeS)) wire.write(bytes);
      await new Promise((resolve) => setImmediate(resolve));
    }
    const lines = text
      .split('\n')
      .slice(0, -1)
      .filter((line) => line !== '');
    expect(lines.map((line) => decodeBoardLine(line).ok)).toEqual(lines.map(() => true));
    expect(lines.some((line) => line.startsWith('HELLO '))).toBe(true);
    expect(lines.some((line) => /^STAMP [0-9A-F]{8} 00000000CAFE0000 /.test(line))).toBe(true);
  } finally {
    await new Promise<void>((resolve) => (port.isOpen ? port.close(() => resolve()) : resolve()));
    await wire.close();
    rmSync(folder, { recursive: true, force: true });
  }
});
