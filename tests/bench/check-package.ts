/**
 * `npm run check:package`: the package as a stranger installs it. Packed, installed by npm from the registry into an empty
 * folder with a path on which there is Node and a shell and no compiler, and run: a shot of the demo, its shot table, a
 * rig file begun and checked. With the Node that runs this, or with each of `--node FILE…`. A table; ends with 1 where one fails.
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, readdirSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { printTable, type Row } from './table.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const { values } = parseArgs({ options: { node: { type: 'string', multiple: true, default: [process.execPath] } } });
/** From where packages come: the settings of whoever runs this, and nothing else of theirs. */
const SETTINGS = Object.fromEntries(['userconfig', 'globalconfig'].map((name) => [`npm_config_${name}`, npmSays('config', 'get', name)]));
const scratch = mkdtempSync(join(tmpdir(), 'postern-package-'));

function npmSays(...args: readonly string[]): string {
  return execFileSync('npm', args, { encoding: 'utf8' }).trim();
}

async function* rows(): AsyncGenerator<Row> {
  execFileSync('npm', ['pack', '--silent', '--pack-destination', scratch], { cwd: ROOT, stdio: ['ignore', 'ignore', 'inherit'] });
  const [archive = ''] = readdirSync(scratch).filter((name) => name.endsWith('.tgz'));
  const npm = npmSays('root', '--global');
  for (const [i, node] of values.node.entries()) yield* withNode(resolve(node), join(scratch, String(i)), join(scratch, archive), npm);
}

function* withNode(node: string, folder: string, archive: string, npm: string): Generator<Row> {
  const path = join(folder, 'path');
  mkdirSync(path, { recursive: true });
  symlinkSync(node, join(path, 'node'));
  symlinkSync('/bin/sh', join(path, 'sh'));
  const run = (command: string, ...args: readonly string[]) =>
    spawnSync(command, args, { cwd: folder, encoding: 'utf8', env: { ...SETTINGS, HOME: folder, PATH: path }, timeout: 600_000 });
  const version = run(node, '--version').stdout.trim();
  const row = (what: string, { status, stdout, stderr }: ReturnType<typeof run>, wanted: RegExp): Row => {
    const reached = status === 0 && wanted.test(stdout);
    const [said = ''] = wanted.exec(stdout) ?? [];
    return {
      what: `Node ${version.slice(1)}: ${what}`,
      wanted: 'works',
      found: reached ? said : `exit code ${status}: ${stderr.slice(-300)}`,
      reached,
    };
  };
  const installed = run(node, join(npm, 'npm', 'bin', 'npm-cli.js'), 'install', archive, '--no-audit', '--no-fund', '--prefix', folder);
  yield row('installed with no compiler', installed, /added \d+ packages/);
  // Without it there is nothing to run.
  if (installed.status !== 0) return;
  const postern = (...args: readonly string[]) => run(join(folder, 'node_modules', '.bin', 'postern'), ...args);
  const demo = ['demo', '--shots', '1', '--exit', '--pace', 'fast', '--port', '0', '--data', 'data'];
  yield row('a shot of the demo', postern(...demo), /muzzle [\d.]+ m\/s ± [\d.]+/);
  yield row('on the flashable board', postern(...demo, '--board', 'avr', '--data', 'avr'), /muzzle [\d.]+ m\/s ± [\d.]+/);
  yield row('its table', postern('shots', '--data', 'data', '--json'), /"id"/);
  yield row('a rig file begun', postern('check', '--starter', 'rig.yaml', '--no-listen'), /rig\.yaml is begun/);
}

try {
  await printTable(rows());
} finally {
  rmSync(scratch, { recursive: true, force: true });
}
