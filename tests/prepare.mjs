/**
 * What the tests need besides Node: Debian's Chromium, its compiler for the flashable gate board, and the built pages.
 * As root on Debian the packages are installed; otherwise what is missing is named, and nothing is run.
 */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

const CHROMIUM = '/usr/bin/chromium';
const COMPILER = '/usr/bin/avr-gcc';
const COMPILER_LIBRARY = '/usr/lib/avr/include/avr/io.h';

function run(command, args, options = {}) {
  const { status, error } = spawnSync(command, args, { stdio: 'inherit', ...options });
  if (error || status !== 0) {
    console.error(`\`${command} ${args.join(' ')}\` failed${error ? `: ${error.message}` : ''}.`);
    process.exit(1);
  }
}

/** @param files  that the packages bring; where one is missing, all of the packages are installed */
function need(what, files, packages) {
  if (files.every((file) => existsSync(file))) return;
  const isRoot = process.getuid?.() === 0;
  if (!isRoot || !existsSync('/usr/bin/apt-get')) {
    console.error(`${what}: run \`apt-get install ${packages.join(' ')}\` as root, then again.`);
    process.exit(1);
  }
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  run('apt-get', ['update', '-qq'], { env });
  run('apt-get', ['install', '-y', '-qq', '--no-install-recommends', ...packages], { env, stdio: ['ignore', 'ignore', 'inherit'] });
  const missing = files.find((file) => !existsSync(file));
  if (missing) {
    console.error(`${packages.join(' ')} was installed but ${missing} is not there.`);
    process.exit(1);
  }
}

need(`The browser tests need Debian's Chromium at ${CHROMIUM}`, [CHROMIUM], ['chromium']);
need(`The gate board's tests need Debian's compiler for it at ${COMPILER}`, [COMPILER, COMPILER_LIBRARY], ['gcc-avr', 'avr-libc']);
run('npm', ['run', '--silent', 'build:pages']);
