/**
 * The package as somebody else has it: packed, unpacked into an empty folder, with the libraries that it asks for and no
 * others, and a path on which there is Node and nothing else.
 */
import { type ChildProcess, execFile, fork, spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, readdirSync, readFileSync, symlinkSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const run = promisify(execFile);

interface Lock {
  readonly packages: Readonly<Record<string, { readonly dev?: boolean; readonly inBundle?: boolean }>>;
}

export interface InstalledPackage {
  /** The package's own folder. */
  readonly folder: string;
  readonly env: NodeJS.ProcessEnv;
  start(module: string, args?: readonly string[]): ChildProcess;
}

/** @param into  an empty folder, with nothing of ours above it */
export async function installPackage(into: string): Promise<InstalledPackage> {
  await run('npm', ['pack', '--silent', '--pack-destination', into], { cwd: ROOT });
  const [archive = ''] = readdirSync(into).filter((name) => name.endsWith('.tgz'));
  const folder = join(into, 'node_modules', 'postern');
  mkdirSync(folder, { recursive: true });
  await run('tar', ['-xzf', join(into, archive), '-C', folder, '--strip-components=1']);
  for (const place of outsideLibraries()) {
    mkdirSync(dirname(join(into, place)), { recursive: true });
    copy(join(ROOT, place), join(into, place));
  }
  const env = { HOME: into, PATH: join(into, 'bin') };
  mkdirSync(env.PATH);
  symlinkSync(process.execPath, join(env.PATH, 'node'));
  const start = (module: string, args: readonly string[] = []): ChildProcess =>
    fork(join(folder, module), [...args], { cwd: into, env, execArgv: [], stdio: ['ignore', 'pipe', 'pipe', 'ipc'] });
  return { folder, env, start };
}

/** By links, where the file system is the same: they are large. */
function copy(from: string, to: string): void {
  if (existsSync(to)) return;
  const { status } = spawnSync('cp', ['-al', from, to], { stdio: 'ignore' });
  if (status !== 0) cpSync(from, to, { recursive: true });
}

/** What an installation puts beside the package: not what comes within it, and what no developer's folder adds. */
function outsideLibraries(): readonly string[] {
  const { packages } = JSON.parse(readFileSync(join(ROOT, 'package-lock.json'), 'utf8')) as Lock;
  const present = new Set(installed(join('node_modules')));
  return Object.entries(packages).flatMap(([place, { dev, inBundle }]) =>
    place === '' || dev === true || inBundle === true || !present.has(place.split('/node_modules/')[0] ?? '') ? [] : [place],
  );
}

/** Those of other systems are in the lock file, and not here. */
function installed(folder: string): readonly string[] {
  return readdirSync(join(ROOT, folder)).flatMap((name) => (name.startsWith('@') ? installed(join(folder, name)) : [join(folder, name)]));
}
