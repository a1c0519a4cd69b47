/** The program that comes with the sources is the one that they make. */
import { expect, test } from 'vitest';
import { buildFirmware, compilerVersion, firmwareKey, readIntelHex } from '../../firmware-sim/avr/bench/index.ts';
import { madeFrom, madeHex, madeProgram } from '../../firmware-sim/avr/made-firmware.ts';
import { HERON } from '../../firmware-sim/world/heron.ts';

const options = { boardId: HERON.boardId };
const MAKE_IT_ANEW = 'run `npm run firmware -- --keep` and commit what it writes';

test('it was made from the sources as they are now, and by this compiler it comes out the same', () => {
  expect(madeFrom().sources, MAKE_IT_ANEW).toBe(firmwareKey(options));
  const made = buildFirmware(options);
  const [compiler] = compilerVersion().split('\n');
  // Another compiler may make another program of the same sources.
  if (compiler === madeFrom().compiler) expect(madeHex(), MAKE_IT_ANEW).toBe(made.hex);
  expect(madeProgram(options)).toEqual(readIntelHex(madeHex()));
});

test('it stands for no other board, and for no other sources', () => {
  expect(madeProgram({ boardId: 'CS-GB-02' })).toBeUndefined();
  const replacements = [{ file: 'main.c', from: 'int main(', to: 'int  main(' }];
  expect(madeProgram({ ...options, replacements })).toBeUndefined();
});
