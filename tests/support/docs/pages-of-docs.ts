/** All pages of the documentation. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Page, readPage } from './markdown.ts';

export const ROOT = fileURLToPath(new URL('../../..', import.meta.url));

export const PAGE_PATHS: readonly string[] = [
  'README.md',
  'DEVELOPERS.md',
  ...readdirSync(join(ROOT, 'docs'), { recursive: true, encoding: 'utf8' })
    .filter((path) => path.endsWith('.md'))
    .sort()
    .map((path) => `docs/${path}`),
];

export const pageOf = (path: string): Page => readPage(path, readFileSync(join(ROOT, path), 'utf8'));
