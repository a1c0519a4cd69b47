/**
 * The gate board's program as it was made last, kept beside its sources: whoever has no compiler runs it in the simulated
 * range, or flashes it. `npm run firmware` makes it anew; a test holds it to the sources.
 */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { compilerVersion, type Firmware, type FirmwareOptions, firmwareKey, readIntelHex } from './bench/index.ts';

const HEX = new URL('./made/gate-board.hex', import.meta.url);
const FACTS = new URL('./made/gate-board.json', import.meta.url);

export interface MadeFrom {
  /** `firmwareKey` of what it was made from. */
  readonly sources: string;
  readonly compiler: string;
}

export const madeFrom = (): MadeFrom => JSON.parse(readFileSync(FACTS, 'utf8')) as MadeFrom;
export const madeHex = (): string => readFileSync(HEX, 'utf8');

/** @returns undefined where sources, flags or board id are not those that it was made from */
export function madeProgram(options: FirmwareOptions): Uint16Array | undefined {
  return madeFrom().sources === firmwareKey(options) ? readIntelHex(madeHex()) : undefined;
}

/** Keeps it. */
export function keepMade(firmware: Firmware, options: FirmwareOptions): void {
  const [compiler = ''] = compilerVersion().split('\n');
  const facts: MadeFrom = { sources: firmwareKey(options), compiler };
  mkdirSync(new URL('./made/', import.meta.url), { recursive: true });
  writeFileSync(HEX, firmware.hex);
  writeFileSync(FACTS, `${JSON.stringify(facts, undefined, 2)}\n`);
}
