/** The bench of everything, in small: a section runs, tells its figure, and finds its place in the page. */
import { execFile } from 'node:child_process';
import { copyFileSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { afterAll, expect, test } from 'vitest';
import { withTables } from '../bench/doc-tables.ts';
import { SECTIONS } from '../bench/sections/index.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const PAGE = join(ROOT, 'docs', 'performance.md');
const folder = mkdtempSync(join(tmpdir(), 'postern-bench-test-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test('npm run bench -- --small --only reduction', async () => {
  const [json, doc] = [join(folder, 'found.json'), join(folder, 'performance.md')];
  copyFileSync(PAGE, doc);
  const bench = ['--import', 'tsx', 'tests/bench/bench.ts', '--small', '--only', 'reduction', '--json', json, '--doc', doc];
  await promisify(execFile)(process.execPath, bench, { cwd: ROOT });
  const { found } = JSON.parse(readFileSync(json, 'utf8')) as {
    readonly found: readonly { readonly values: { readonly plainUs: number } }[];
  };
  expect(found).toHaveLength(1);
  expect(found[0]?.values.plainUs).toBeGreaterThan(0);
  expect(readFileSync(doc, 'utf8')).toMatch(
    /<!-- measured: reduction -->\n\n`npm run bench[^\n]*Node v[^\n]*small size[^\n]*\n\n\| What \|/,
  );
});

test('the page has one place for each section, and none for another', () => {
  const places = [...readFileSync(PAGE, 'utf8').matchAll(/<!-- measured: (\w+) -->/g)].map(([, name]) => name);
  expect(places.toSorted()).toEqual(Object.keys(SECTIONS).toSorted());
  expect(() => withTables('', [{ section: 'lines', rows: [], pictures: [] }], '')).toThrow('no place for lines');
});
