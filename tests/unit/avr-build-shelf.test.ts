/** A firmware that was made before is found again, whole or not at all, by several processes at once. */
import { execFile } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { promisify } from 'node:util';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { BuildShelf, type Built, shelfKey } from '../../firmware-sim/avr/bench/build-shelf.ts';
import { buildFirmware } from '../../firmware-sim/avr/bench/index.ts';

let folder = '';
beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'shelf-'));
});
afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
});

const built = (n: number): Built => ({ hex: `:${n}\n`, flashBytes: n, memoryBytes: 1, variables: new Map([['ring', n]]) });
const files = (): string[] => readdirSync(folder).map((name) => path.join(folder, name));

test('what is put is taken again, and by nothing but its own key', () => {
  const shelf = new BuildShelf(folder);
  shelf.put(shelfKey(['a', 'b']), built(1));
  shelf.put(shelfKey(['ab', '']), built(2));
  expect(new BuildShelf(folder).take(shelfKey(['a', 'b']))).toEqual(built(1));
  expect(shelf.take(shelfKey(['ab', '']))).toEqual(built(2));
  expect(shelf.take(shelfKey(['b', 'a']))).toBeUndefined();
});

test('a file that was cut, changed or is none is not used', () => {
  const shelf = new BuildShelf(folder);
  const key = shelfKey(['x']);
  const damages: ((file: string) => void)[] = [
    (file) => truncateSync(file, 20),
    (file) => writeFileSync(file, readFileSync(file, 'utf8').replace('flashBytes\\":1', 'flashBytes\\":9')),
    (file) => writeFileSync(file, ''),
    (file) => writeFileSync(file, '{"body":7}'),
  ];
  for (const damage of damages) {
    shelf.put(key, built(1));
    expect(shelf.take(key)).toEqual(built(1));
    for (const file of files()) damage(file);
    expect(shelf.take(key)).toBeUndefined();
  }
});

test('it does not grow without end, and what is newest stays', () => {
  const shelf = new BuildShelf(folder);
  for (let n = 0; n < 60; n++) shelf.put(shelfKey([String(n)]), built(n));
  expect(files()).toHaveLength(40);
  expect(shelf.take(shelfKey(['59']))).toEqual(built(59));
});

test('a folder that takes no files costs nothing but the making', () => {
  writeFileSync(path.join(folder, 'file'), '');
  const shelf = new BuildShelf(path.join(folder, 'file'));
  expect(() => shelf.put(shelfKey(['x']), built(1))).not.toThrow();
  expect(shelf.take(shelfKey(['x']))).toBeUndefined();
});

test('another source, name or fault is another firmware; the same one is not made twice', () => {
  const shelf = new BuildShelf(folder);
  const first = buildFirmware({ shelf });
  expect(files()).toHaveLength(1);
  const [file = ''] = files();
  const kept = readFileSync(file);
  const again = buildFirmware({ shelf });
  expect([again.hex, again.program, again.variables]).toEqual([first.hex, first.program, first.variables]);
  expect(readFileSync(file)).toEqual(kept);
  const fault = { file: 'board.h', from: '#define BLOCK_SAMPLES 50', to: '#define BLOCK_SAMPLES 40' };
  expect(buildFirmware({ shelf, replacements: [fault] }).hex).not.toBe(first.hex);
  expect(files()).toHaveLength(2);
});

test('two processes that make it at once both have it, and it lies there once', async () => {
  const program = new URL('../../firmware-sim/avr/bench/index.ts', import.meta.url).href;
  const shelf = new URL('../../firmware-sim/avr/bench/build-shelf.ts', import.meta.url).href;
  const code = `
    const { buildFirmware } = await import(${JSON.stringify(program)});
    const { BuildShelf } = await import(${JSON.stringify(shelf)});
    console.log(buildFirmware({ shelf: new BuildShelf(${JSON.stringify(folder)}) }).flashBytes);`;
  const run = () => promisify(execFile)(process.execPath, ['--import', 'tsx', '--input-type=module', '-e', code]);
  const answers = await Promise.all([run(), run()]);
  expect(new Set(answers.map(({ stdout }) => stdout.trim())).size).toBe(1);
  expect(files()).toHaveLength(1);
  expect(buildFirmware({ shelf: new BuildShelf(folder) }).flashBytes).toBe(Number(answers[0]?.stdout));
});
