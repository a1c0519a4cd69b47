/** The bench of the store, small: it runs, reads back all that it wrote, and answers each of its questions. */
import { execFile } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { expect, test } from 'vitest';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));

test('npm run bench:store -- --small', async () => {
  // It throws, and ends with 1, where samples were dropped or a span or the table lacks some.
  const { stdout } = await promisify(execFile)(process.execPath, ['--import', 'tsx', 'tests/bench/check-store.ts', '--small'], {
    cwd: ROOT,
  });
  const rows = stdout.split('\n').filter((line) => line.startsWith('| ') && !line.startsWith('| What'));
  expect(rows.length).toBe(12);
  expect(stdout).toContain('All reached.');
});
