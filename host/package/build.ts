/**
 * Before `npm pack`: the tree once more in `dist/`, as plain JavaScript, each file where it was, so that what reads or
 * starts a file beside it finds it there; with the pages, the files that the simulated range reads, and the versions.
 */
import { cpSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';
import { transpile } from './transpile.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const DIST = join(ROOT, 'dist');
/** Read at run time, from beside the code. */
const ALONGSIDE = ['host/rig/rig.schema.json', 'firmware-sim/heron.yaml', 'firmware-sim/avr/firmware', 'firmware-sim/avr/made'];
/** Developers'. */
const TOOLS = ['host/package/', 'firmware-sim/avr/build.ts'];

rmSync(DIST, { recursive: true, force: true });
transpile(ROOT, ['protocol', 'host', 'firmware-sim'], DIST, (file) => !TOOLS.some((tool) => file.startsWith(tool)));

process.env.VITE_CALLED_AS = 'postern';
const pages = join(ROOT, 'dashboards');
await build({
  root: pages,
  configFile: join(pages, 'vite.config.ts'),
  logLevel: 'warn',
  build: { outDir: join(DIST, 'dashboards', 'dist') },
});

for (const path of ALONGSIDE) {
  mkdirSync(dirname(join(DIST, path)), { recursive: true });
  cpSync(join(ROOT, path), join(DIST, path), { recursive: true });
}
const { name, version, license } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as Record<string, string>;
writeFileSync(join(DIST, 'package.json'), JSON.stringify({ name, version, license, type: 'module', private: true }));
