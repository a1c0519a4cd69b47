/**
 * What the tests need besides Node: Debian's Chromium, servers of time series and compiler for the flashable gate board, and the built pages. As root on Debian
 * the packages are installed; otherwise what is missing is named, and nothing is run.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, rmSync, writeFileSync } from 'node:fs';

/** Debian's packages, by a file of each. */
const NEEDED = [
  { file: '/usr/bin/chromium', package: 'chromium' },
  { file: '/usr/bin/influxd', package: 'influxdb' },
  { file: '/usr/bin/victoria-metrics', package: 'victoria-metrics' },
  { file: '/usr/bin/avr-gcc', package: 'gcc-avr' },
  { file: '/usr/lib/avr/include/avr/io.h', package: 'avr-libc' },
];
/** Asked by Debian's packages whether their services may be started. */
const POLICY = '/usr/sbin/policy-rc.d';

function run(command, args, options = {}) {
  const { status, error } = spawnSync(command, args, { stdio: 'inherit', ...options });
  if (error || status !== 0) {
    console.error(`\`${command} ${args.join(' ')}\` failed${error ? `: ${error.message}` : ''}.`);
    process.exit(1);
  }
}

const missing = NEEDED.filter(({ file }) => !existsSync(file));
if (missing.length > 0) {
  const names = missing.map(({ package: name }) => name);
  if (process.getuid?.() !== 0 || !existsSync('/usr/bin/apt-get')) {
    console.error(`The tests need Debian's ${names.join(', ')}: run \`apt-get install ${names.join(' ')}\` as root, then again.`);
    process.exit(1);
  }
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
  // The tests start servers of their own; none shall run beside them, now or after the next boot.
  if (!existsSync(POLICY)) {
    writeFileSync(POLICY, '#!/bin/sh\nexit 101\n', { mode: 0o755 });
    process.on('exit', () => rmSync(POLICY, { force: true }));
  }
  run('apt-get', ['update', '-qq'], { env });
  run('apt-get', ['install', '-y', '-qq', '--no-install-recommends', ...names], { env, stdio: ['ignore', 'ignore', 'inherit'] });
  for (const name of names.filter((each) => ['influxdb', 'victoria-metrics'].includes(each)))
    spawnSync('systemctl', ['disable', name], { stdio: 'ignore' });
  for (const { file } of missing) {
    if (existsSync(file)) continue;
    console.error(`${file} is not there after the installation.`);
    process.exit(1);
  }
}
run('npm', ['run', '--silent', 'build:pages']);
