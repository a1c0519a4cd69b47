import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';

const read = (path: string): string => readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8');

test('every flag is explained, and no other', () => {
  const declared = /export type ShotFlag =([^;]+);/.exec(read('protocol/shot.ts'))?.[1] ?? '';
  const flags = [...declared.matchAll(/'([a-z-]+)'/g)].map((match) => match[1]);
  const table = /## Flags([\s\S]+?)\n## /.exec(read('docs/shot.md'))?.[1] ?? '';
  const explained = [...table.matchAll(/`([a-z-]+)`/g)].map((match) => match[1]);
  expect(flags.length).toBeGreaterThan(10);
  expect([...explained].sort()).toEqual([...flags].sort());
});
