/** A file of tokens is made, changed and withdrawn, never half, never another's to read, and never said. */
import { chmodSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { readTokenFile } from '../../host/cli/serving/token-file.ts';
import { tokens } from '../../host/cli/serving/tokens.ts';
import { postern, scratchFolder } from '../support/command.ts';

let scratch: ReturnType<typeof scratchFolder>;
let file: string;
beforeEach(() => {
  scratch = scratchFolder();
  file = join(scratch.path, 'tokens.json');
});
afterEach(() => scratch.remove());

test('makes one that only its owner may read, which --tokens takes, and says none of it', async () => {
  const { exitCode, stdout, stderr } = await postern('tokens', file);
  expect([exitCode, stderr]).toEqual([0, '']);
  const { look = '', crew } = readTokenFile(file);
  expect(look).not.toBe(crew);
  expect(stdout).not.toContain(look);
  expect(stdout).not.toContain(crew);
  expect(statSync(file).mode & 0o777).toBe(0o600);
  expect(await postern('tokens', file)).toMatchObject({ exitCode: 2, stderr: expect.stringContaining('is there already') });
  expect(readTokenFile(file)).toEqual({ look, crew });
});

test.each([
  ['look', true, false],
  ['crew', false, true],
  ['both', true, true],
] as const)('renews %s and leaves nothing beside the file', (renew, isLookNew, isCrewNew) => {
  tokens(file, {});
  const before = readTokenFile(file);
  tokens(file, { renew });
  const after = readTokenFile(file);
  expect([after.look !== before.look, after.crew !== before.crew]).toEqual([isLookNew, isCrewNew]);
  expect(statSync(file).mode & 0o777).toBe(0o600);
  expect(readdirSync(scratch.path)).toEqual(['tokens.json']);
});

test('keeps a file without a token to look without one, where the crew’s alone is renewed', () => {
  writeFileSync(file, JSON.stringify({ crew: 'c'.repeat(43) }), { mode: 0o600 });
  tokens(file, { renew: 'crew' });
  expect(readTokenFile(file).look).toBeUndefined();
});

test('touches nothing that it does not understand, or that others may read', () => {
  writeFileSync(file, 'not tokens', { mode: 0o600 });
  expect(() => tokens(file, { renew: 'both' })).toThrow('does not hold tokens');
  chmodSync(file, 0o644);
  expect(() => tokens(file, { renew: 'both' })).toThrow('chmod 600');
  expect(readFileSync(file, 'utf8')).toBe('not tokens');
  expect(() => tokens(join(scratch.path, 'none', 'tokens.json'), {})).toThrow('cannot be written');
});
