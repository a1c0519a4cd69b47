/** The firmware from its sources, by Debian's gcc-avr and avr-libc. */
import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { BuildShelf, type Built, shelfKey } from './build-shelf.ts';
import { readIntelHex } from './intel-hex.ts';

const SOURCES = fileURLToPath(new URL('../firmware/', import.meta.url));
const FLAGS = ['-std=gnu99', '-mmcu=atmega2560', '-DF_CPU=16000000UL', '-O2', '-flto', '-Wall', '-Wextra', '-Werror'];

/** Of 256 KB; the firmware shall not grow unnoticed. */
export const FLASH_BYTES_MAX = 16 * 1024;
/** Of 8 KB: what is left is the stack's. */
export const MEMORY_BYTES_MAX = 7 * 1024;

/** One text of one source for another: how a test makes a firmware with a fault in it. */
export interface Replacement {
  readonly file: string;
  readonly from: string;
  readonly to: string;
}

export interface Firmware extends Built {
  readonly program: Uint16Array;
}

export interface FirmwareOptions {
  /** What it calls itself; 1 to 24 of A–Z a–z 0–9 _ - */
  readonly boardId?: string;
  readonly replacements?: readonly Replacement[];
  /** Where what was made is kept and found again; undefined: made anew. */
  readonly shelf?: BuildShelf | undefined;
}

const SHELF = new BuildShelf(fileURLToPath(new URL('../../../node_modules/.cache/gate-board/', import.meta.url)));

/**
 * Made once for the same sources, flags and compiler; after that it comes off the shelf.
 * @throws Error with one sentence where the compiler is missing, does not accept the sources, or the result is too large
 */
export function buildFirmware(options: FirmwareOptions = {}): Firmware {
  const shelf = 'shelf' in options ? options.shelf : SHELF;
  const { sources, flags } = ingredients(options);
  // Asked each time, so that a missing compiler is told whatever lies on the shelf.
  const key = shelfKey([compilerVersion(), ...flags, ...[...sources].flat()]);
  const kept = shelf?.take(key);
  const built = kept ?? compile(sources, flags);
  if (!kept) shelf?.put(key, built);
  if (built.flashBytes > FLASH_BYTES_MAX) throw new Error(`the firmware takes ${built.flashBytes} of ${FLASH_BYTES_MAX} bytes of flash`);
  if (built.memoryBytes > MEMORY_BYTES_MAX)
    throw new Error(`the firmware takes ${built.memoryBytes} of ${MEMORY_BYTES_MAX} bytes of memory; the rest is the stack's`);
  return { ...built, program: readIntelHex(built.hex) };
}

/** A hash of the sources and flags, whatever the compiler. */
export function firmwareKey(options: FirmwareOptions = {}): string {
  const { sources, flags } = ingredients(options);
  return shelfKey([...flags, ...[...sources].flat()]);
}

/** @throws Error with one sentence where there is none */
export const compilerVersion = (): string => tool('avr-gcc', ['--version'], SOURCES);

function ingredients({ boardId = 'CS-GB-01', replacements = [] }: FirmwareOptions): {
  readonly sources: ReadonlyMap<string, string>;
  readonly flags: readonly string[];
} {
  if (!/^[A-Za-z0-9_-]{1,24}$/.test(boardId)) throw new Error(`board id "${boardId}": 1 to 24 of A–Z a–z 0–9 _ - are wanted`);
  const files = readdirSync(SOURCES).sort();
  return {
    sources: new Map(files.map((file) => [file, sourceOf(file, replacements)])),
    flags: [...FLAGS, `-DBOARD_ID="${boardId}"`],
  };
}

function compile(sources: ReadonlyMap<string, string>, flags: readonly string[]): Built {
  const folder = mkdtempSync(path.join(tmpdir(), 'gate-board-'));
  try {
    for (const [file, text] of sources) writeFileSync(path.join(folder, file), text);
    tool('avr-gcc', [...flags, ...[...sources.keys()].filter((file) => file.endsWith('.c')), '-o', 'gate-board.elf'], folder);
    tool('avr-objcopy', ['-O', 'ihex', '-R', '.eeprom', 'gate-board.elf', 'gate-board.hex'], folder);
    const [, numbers = ''] = tool('avr-size', ['gate-board.elf'], folder).split('\n');
    // text, data, bss; the erased EEPROM section counts as data here.
    const [text = 0, data = 0, bss = 0] = numbers.trim().split(/\s+/).map(Number);
    return {
      hex: readFileSync(path.join(folder, 'gate-board.hex'), 'utf8'),
      flashBytes: text + data,
      memoryBytes: data + bss,
      variables: variablesOf(tool('avr-nm', ['gate-board.elf'], folder)),
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** Lines of `address kind name`; data space is 0x800000 up, and link-time optimisation adds a suffix of its own to names. */
function variablesOf(names: string): ReadonlyMap<string, number> {
  return new Map([...names.matchAll(/^0080([0-9a-f]{4}) [bBdD] (\w+)/gm)].map(([, at = '', name = '']) => [name, Number.parseInt(at, 16)]));
}

/** Writes what is flashed. */
export function writeHex(file: string, firmware: Firmware): void {
  mkdirSync(path.dirname(file), { recursive: true });
  writeFileSync(file, firmware.hex);
}

function sourceOf(file: string, replacements: readonly Replacement[]): string {
  return replacements
    .filter((each) => each.file === file)
    .reduce(
      (text, { from, to }) => {
        if (text.split(from).length !== 2) throw new Error(`${file}: "${from}" does not stand there exactly once`);
        return text.replace(from, () => to);
      },
      readFileSync(path.join(SOURCES, file), 'utf8'),
    );
}

function tool(command: string, args: readonly string[], cwd: string): string {
  const { status, error, stdout, stderr } = spawnSync(command, args, { cwd, encoding: 'utf8' });
  if (error && (error as NodeJS.ErrnoException).code === 'ENOENT') {
    throw new Error(`${command} is missing: install Debian's gcc-avr and avr-libc (\`apt-get install gcc-avr avr-libc\`), then again`);
  }
  if (error || status !== 0) throw new Error(`${command} failed: ${error?.message ?? stderr.trim()}`);
  return stdout;
}
