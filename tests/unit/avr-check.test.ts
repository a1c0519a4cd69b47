/** The bench of `npm run check:board`, a small part of it, so that it does not rot; all its figures must be reached. */
import { execFile } from 'node:child_process';
import { promisify } from 'node:util';
import { expect, test } from 'vitest';

test('check:board --small reaches what it wants', async () => {
  const { stdout } = await promisify(execFile)(process.execPath, ['--import', 'tsx', 'tests/bench/check-board.ts', '--small']);
  expect(stdout.match(/\| reached \|/g)?.length ?? 0).toBeGreaterThan(18);
  expect(stdout).toContain('All reached.');
}, 240_000);
