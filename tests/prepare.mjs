/**
 * What the tests need besides Node: Debian's Chromium, and the built pages. As root on Debian the package is installed;
 * otherwise what is missing is named, and nothing is run.
 */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

const CHROMIUM = '/usr/bin/chromium';

function run(command, args, options = {}) {
  const { status, error } = spawnSync(command, args, { stdio: 'inherit', ...options });
  if (error || status !== 0) {
    console.error(`\`${command} ${args.join(' ')}\` failed${error ? `: ${error.message}` : ''}.`);
    process.exit(1);
  }
}

if (!existsSync(CHROMIUM)) {
  const isRoot = process.getuid?.() === 0;
  if (!isRoot || !existsSync('/usr/bin/apt-get')) {
    console.error(`The browser tests need Debian's Chromium at ${CHROMIUM}: run \`apt-get install chromium\` as root, then again.`);
    process.exit(1);
  }
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  run('apt-get', ['update', '-qq'], { env });
  run('apt-get', ['install', '-y', '-qq', '--no-install-recommends', 'chromium'], { env, stdio: ['ignore', 'ignore', 'inherit'] });
  if (!existsSync(CHROMIUM)) {
    console.error(`Chromium was installed but is not at ${CHROMIUM}.`);
    process.exit(1);
  }
}
run('npm', ['run', '--silent', 'build:pages']);
