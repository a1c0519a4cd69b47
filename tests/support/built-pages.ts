/** The pages as they are in the source now: built once, and kept for every test until a source changes. */
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync } from 'node:fs';
import { mkdtemp } from 'node:fs/promises';
import { join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const KEPT = join(ROOT, 'node_modules', '.cache', 'postern-pages');
/** All that the pages may import (`.dependency-cruiser.cjs`), and what says which versions of libraries they have. */
const SOURCES = ['dashboards', 'host/units', 'host/charts', 'protocol', 'package-lock.json'];
const IS_BUILT = /^dashboards\/dist(\/|$)/;
const KEPT_MAX = 3;

export interface BuiltPages {
  readonly folder: string;
  remove(): Promise<void>;
}

export async function buildPages(): Promise<BuiltPages> {
  const folder = join(KEPT, sourcesHash());
  if (!existsSync(folder)) await buildInto(folder);
  // Others may still serve them: only what is many sources old goes, at the next build.
  return { folder, remove: () => Promise.resolve() };
}

async function buildInto(folder: string): Promise<void> {
  mkdirSync(KEPT, { recursive: true });
  const made = await mkdtemp(join(KEPT, 'making-'));
  const root = join(ROOT, 'dashboards');
  await build({ root, configFile: join(root, 'vite.config.ts'), logLevel: 'error', mode: 'production', build: { outDir: made } });
  try {
    renameSync(made, folder);
  } catch (error) {
    // Another test has built the same.
    rmSync(made, { recursive: true, force: true });
    if (!existsSync(folder)) throw error;
  }
  forgetOldest();
}

function forgetOldest(): void {
  const newestFirst = readdirSync(KEPT)
    .filter((name) => !name.startsWith('making-'))
    .map((name) => ({ path: join(KEPT, name), madeMs: statSync(join(KEPT, name)).mtimeMs }))
    .sort((a, b) => b.madeMs - a.madeMs);
  for (const { path } of newestFirst.slice(KEPT_MAX)) rmSync(path, { recursive: true, force: true });
}

function sourcesHash(): string {
  const hash = createHash('sha256');
  for (const path of SOURCES.flatMap((source) => filesBelow(join(ROOT, source))).sort()) {
    hash
      .update(`${relative(ROOT, path)}\0`)
      .update(readFileSync(path))
      .update('\0');
  }
  return hash.digest('hex').slice(0, 24);
}

function filesBelow(path: string): readonly string[] {
  if (IS_BUILT.test(relative(ROOT, path))) return [];
  if (!statSync(path).isDirectory()) return [path];
  return readdirSync(path).flatMap((name) => filesBelow(join(path, name)));
}
