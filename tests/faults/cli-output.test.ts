/** Whoever reads a command's output may go away, and what is asked may be nonsense. */

import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { copyFileSync, existsSync, mkdirSync, openSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { servePages } from '../../host/cli/serving/pages.ts';
import { flagLines } from '../../host/cli/shots/shot-lines.ts';
import { sinceUtc } from '../../host/cli/shots/since.ts';
import { LiveFeed } from '../../host/serve/index.ts';
import { buildProgram } from '../support/built-program.ts';
import { postern, RunningCommand, scratchFolder } from '../support/command.ts';
import { fakeShot } from '../support/fake-shot.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const MCAP_END = '894d434150300d0a';

let scratch: ReturnType<typeof scratchFolder>;
let running: RunningCommand[] = [];
let data: string;
beforeEach(() => {
  scratch = scratchFolder();
  data = join(scratch.path, 'data');
});
afterEach(async () => {
  await Promise.all(running.map((command) => command.kill()));
  running = [];
  scratch.remove();
});

function start(...args: readonly string[]): RunningCommand {
  const command = new RunningCommand(args);
  running.push(command);
  return command;
}

function lastBytesOfJournal(): string {
  const journals = join(data, 'journals');
  const [journal = ''] = readdirSync(journals);
  return readFileSync(join(journals, journal)).subarray(-8).toString('hex');
}

describe('standard output', () => {
  test('closed by its reader: the demo measures on and closes in order', { timeout: 60_000 }, async () => {
    const demo = start('demo', '--shots', '1', '--exit', '--pace', 'fast', '--seed', '7', '--data', data, '--port', '0');
    await demo.says(/Watch it at/);
    demo.stopReading();
    expect(await demo.finished()).toMatchObject({ exitCode: 0, stderr: '' });
    expect(lastBytesOfJournal()).toBe(MCAP_END);
    const listed = await postern('shots', '--data', data, '--json');
    expect(JSON.parse(listed.stdout)).toMatchObject({ shots: [{}] });
  });

  test.skipIf(!existsSync('/dev/full'))('on a full disk: told once, exit code 1 (needs /dev/full)', () => {
    const full = openSync('/dev/full', 'w');
    const args = [join(buildProgram(), 'host/cli/main.js'), 'shots', '--data', data, '--csv'];
    const ended = spawnSync(process.execPath, args, { cwd: ROOT, stdio: ['ignore', full, 'pipe'], encoding: 'utf8' });
    expect(ended.stderr).toMatch(/^Standard output cannot be written: ENOSPC[^\n]*\n$/);
    expect(ended.status).toBe(1);
  });
});

test('run: Ctrl-C ends it by itself, without a board, with the journal closed', { timeout: 60_000 }, async () => {
  mkdirSync(data);
  const rigFile = join(scratch.path, 'heron.yaml');
  copyFileSync(join(ROOT, 'firmware-sim', 'heron.yaml'), rigFile);
  const run = start('run', rigFile, '--data', data, '--port', '0');
  await run.says(/is looked for/);
  run.interrupt();
  const ended = await run.finished();
  expect(ended).toMatchObject({ exitCode: 0, stdout: expect.stringMatching(/closed, shots: 0\.\n$/) });
  expect(lastBytesOfJournal()).toBe(MCAP_END);
});

test('a second Ctrl-C ends a command that does not end, with what is true at that moment', { timeout: 30_000 }, async () => {
  const program = join(scratch.path, 'stuck.mts');
  writeFileSync(
    program,
    `import { StopSignal } from ${JSON.stringify(join(ROOT, 'host', 'cli', 'stop-signal.ts'))};
     const stop = new StopSignal();
     setInterval(() => undefined, 1000);
     console.log('ready');
     stop.asked.then(() => {
       stop.lastWords = () => 'half of it is on the disk';
       console.log('asked');
     });`,
  );
  const child = spawn(process.execPath, ['--import', 'tsx', program], { cwd: ROOT, stdio: ['ignore', 'pipe', 'pipe'] });
  let trouble = '';
  child.stderr.setEncoding('utf8').on('data', (text: string) => {
    trouble += text;
  });
  const said: string[] = [];
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    // Once after each of its two lines.
    for (const line of text.trim().split('\n')) {
      said.push(line);
      child.kill('SIGINT');
    }
  });
  try {
    expect(await once(child, 'close')).toEqual([130, null]);
    expect(said).toEqual(['ready', 'asked']);
    expect(trouble).toBe('half of it is on the disk\n');
  } finally {
    child.kill('SIGKILL');
  }
});

describe('shots --since', () => {
  const nonsense = async () => {
    const asked = await postern('shots', '--since', 'nonsense', '--data', data);
    expect(asked).toMatchObject({ exitCode: 2, stdout: '', stderr: expect.stringMatching(/^--since nonsense: give a time [^\n]*\n$/) });
  };

  test('nonsense is told, whether a host runs or not', { timeout: 60_000 }, async () => {
    await nonsense();
    const demo = start('demo', '--pace', 'fast', '--data', data, '--port', '0');
    await demo.says(/is running at/);
    await nonsense();
    demo.interrupt();
    await demo.finished();
    await nonsense();
  });

  test('a time without a zone is UTC, as the table shows it', () => {
    expect(sinceUtc('2026-03-14')).toBe('2026-03-14T00:00:00.000Z');
    expect(sinceUtc('2026-03-14T09:30')).toBe('2026-03-14T09:30:00.000Z');
    expect(sinceUtc('2026-03-14T09:30:00.5Z')).toBe('2026-03-14T09:30:00.500Z');
    expect(sinceUtc('2026-03-14T09:30:00+01:00')).toBe('2026-03-14T08:30:00.000Z');
    for (const text of ['', '5', 'yesterday', '2026-13-01', '2026-03-14T25:00', '14.3.2026'])
      expect(() => sinceUtc(text), text).toThrow(/give a time/);
  });
});

test('a flag in the table is explained below it, and nothing is where there is none', () => {
  expect(flagLines([fakeShot({ number: 1 })])).toEqual([]);
  expect(flagLines([fakeShot({ number: 1 }), fakeShot({ number: 2, flags: ['gate-missed'] })]).join('')).toContain('docs/shot.md');
});

test('pages that are not built are told, with the command that builds them', async () => {
  const told = vi.spyOn(process.stderr, 'write').mockReturnValue(true);
  try {
    mkdirSync(join(scratch.path, 'pages'));
    const server = await servePages({ feed: new LiveFeed({ mode: 'live' }), port: 0, pagesDir: join(scratch.path, 'pages') });
    await server.close();
    expect(told.mock.calls.flat().join('')).toContain('npm run build:pages');
  } finally {
    told.mockRestore();
  }
});
