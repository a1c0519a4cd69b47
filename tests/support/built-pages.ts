/** The pages as they are in the source now. */
import { join } from 'node:path';
import { build } from 'vite';
import { KeptBuild, ROOT } from './kept-build.ts';

/** Of all that the pages may import (`.dependency-cruiser.cjs`), and what says which versions of libraries they have. */
const KEPT = new KeptBuild('postern-pages', ['dashboards', 'host/units', 'host/charts', 'protocol', 'package-lock.json']);

export interface BuiltPages {
  readonly folder: string;
  remove(): Promise<void>;
}

export async function buildPages(): Promise<BuiltPages> {
  const { path, isMade } = KEPT.folder();
  if (!isMade) {
    const outDir = KEPT.begin();
    const root = join(ROOT, 'dashboards');
    await build({ root, configFile: join(root, 'vite.config.ts'), logLevel: 'error', mode: 'production', build: { outDir } });
    KEPT.keep(outDir, path);
  }
  return { folder: path, remove: () => Promise.resolve() };
}
