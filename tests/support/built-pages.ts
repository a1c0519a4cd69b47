/** The pages as they are in the source now, built into a folder of their own. */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

export interface BuiltPages {
  readonly folder: string;
  remove(): Promise<void>;
}

export async function buildPages(): Promise<BuiltPages> {
  const folder = await mkdtemp(join(tmpdir(), 'postern-pages-'));
  const root = fileURLToPath(new URL('../../dashboards', import.meta.url));
  await build({ root, configFile: join(root, 'vite.config.ts'), logLevel: 'warn', mode: 'production', build: { outDir: folder } });
  return { folder, remove: () => rm(folder, { recursive: true, force: true }) };
}
