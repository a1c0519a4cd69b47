/** DEVELOPERS.md leads from file to file: those that it names in short are in a folder that it has named before them. */
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const TOP = /^(host|protocol|firmware-sim|dashboards|tests|docs)\//;
const FILE = /`([\w./-]+\.(?:tsx?|c)|[\w/-]+\/)`/g;

const isThere = (path: string): boolean => existsSync(join(ROOT, path));
const folderOf = (path: string): string => (statSync(join(ROOT, path)).isDirectory() ? path : dirname(path));

/** Whether there is such a file in the folder or in one below it. */
const isBelow = (folder: string, name: string): boolean =>
  isThere(join(folder, name)) ||
  readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' }).some((path) => path.endsWith(`/${name.replace(/\/$/, '')}`));

/** Names of a section that lead to no file: each with the folders that were named before it there. */
function lost(section: string): readonly string[] {
  const folders: string[] = [];
  const wrong: string[] = [];
  for (const [, name = ''] of section.matchAll(FILE)) {
    if (TOP.test(name)) {
      // That these are there is told of all pages at once (tests/docs/references.test.ts).
      if (isThere(name)) folders.push(folderOf(name));
    } else if (!folders.some((folder) => isBelow(folder, name))) {
      wrong.push(`${name}, in none of ${[...new Set(folders)].join(', ')}`);
    }
  }
  return wrong;
}

const sections = (text: string): readonly string[] => text.split(/^#+ /m);
const TEXT = readFileSync(join(ROOT, 'DEVELOPERS.md'), 'utf8');

test('each file that is named in short is below a folder that was named before it', () => {
  const told = sections(TEXT).filter((section) => !section.startsWith('Run, test, debug') && !section.startsWith('Layout'));
  expect(told.flatMap(lost)).toEqual([]);
  expect(told.flatMap((section) => [...section.matchAll(FILE)]).length).toBeGreaterThan(80);
});

test('a file that was moved away is told', () => {
  expect(lost('`host/pipeline/step.ts` and `sequence.ts`, `watches/`')).toEqual([]);
  expect(lost('`host/pipeline/step.ts` and `live-feed.ts`')).toEqual(['live-feed.ts, in none of host/pipeline']);
});

test('the walk of an edge goes from the board to the page', () => {
  const [walk = ''] = sections(TEXT).filter((section) => section.startsWith('One edge, from pin to page'));
  const named = [...walk.matchAll(FILE)].map(([, name]) => name);
  expect(named[0]).toMatch(/^firmware-sim\//);
  expect(named.at(-1)).toMatch(/^dashboards\//);
});
