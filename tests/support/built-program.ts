/** The program as plain JavaScript, as the package has it: a process of it starts in half the time of one that must be taught TypeScript. */
import { copyFileSync, mkdirSync, symlinkSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { transpile } from '../../host/package/transpile.ts';
import { filesBelow, KeptBuild, ROOT } from './kept-build.ts';

const SOURCES = ['protocol', 'host', 'firmware-sim'];
/** Found beside the program as it runs: the pages and the libraries. */
const BESIDE = ['dashboards', 'node_modules'];

const KEPT = new KeptBuild('postern-program', [...SOURCES, 'package.json', 'package-lock.json']);
let built: string | undefined;

/** @returns the folder that stands for the root; sources are not expected to change while a process of tests runs */
export function buildProgram(): string {
  if (built !== undefined) return built;
  const { path, isMade } = KEPT.folder();
  if (!isMade) {
    const folder = KEPT.begin();
    transpile(ROOT, SOURCES, folder, () => true);
    for (const file of filesBelow([...SOURCES, 'package.json']).filter((each) => !each.endsWith('.ts'))) {
      mkdirSync(dirname(join(folder, file)), { recursive: true });
      copyFileSync(join(ROOT, file), join(folder, file));
    }
    for (const name of BESIDE) symlinkSync(join(ROOT, name), join(folder, name));
    KEPT.keep(folder, path);
  }
  built = path;
  return built;
}
