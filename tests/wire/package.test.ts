/** `npm pack` gives what runs elsewhere: with no compiler, nothing that reads TypeScript, and none of the tools that built it. */
import { execFile } from 'node:child_process';
import { once } from 'node:events';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { scratchFolder } from '../support/command.ts';
import { type InstalledPackage, installPackage } from '../support/package.ts';

const MAIN = 'dist/host/cli/main.js';

let scratch: ReturnType<typeof scratchFolder>;
let installed: InstalledPackage;
beforeAll(async () => {
  scratch = scratchFolder();
  installed = await installPackage(scratch.path);
}, 180_000);
afterAll(() => scratch.remove());

/** Runs it to its end. */
async function ended(module: string, args: readonly string[] = []) {
  const child = installed.start(module, args);
  const said = { stdout: '', stderr: '' };
  child.stdout?.setEncoding('utf8').on('data', (text: string) => {
    said.stdout += text;
  });
  child.stderr?.setEncoding('utf8').on('data', (text: string) => {
    said.stderr += text;
  });
  const [exitCode] = (await once(child, 'close')) as [number | null];
  return { exitCode, ...said };
}

test('a shot of the demo, with the page, and the shot table after it', async () => {
  const data = join(scratch.path, 'data');
  const demo = await ended(MAIN, ['demo', '--shots', '1', '--exit', '--pace', 'fast', '--seed', '7', '--port', '0', '--data', data]);
  expect(demo).toMatchObject({ exitCode: 0, stderr: '' });
  expect(demo.stdout).toMatch(/^Shot 1 .* muzzle \d+\.\d+ m\/s/m);
  expect(demo.stdout).toContain(`List its shots: postern shots --data ${data}`);
  const shots = await ended(MAIN, ['shots', '--data', data, '--csv']);
  expect(shots.stdout.trim().split('\n')).toHaveLength(2);
});

test('the demo on the program of the board to flash, which is not compiled here', async () => {
  const child = installed.start(MAIN, ['demo', '--board', 'avr', '--rate', '0.25', '--port', '0', '--data', join(scratch.path, 'avr')]);
  let stdout = '';
  const heard = new Promise<void>((resolve) => {
    child.stdout?.setEncoding('utf8').on('data', (text: string) => {
      stdout += text;
      if (stdout.includes('Board gate-board is CS-GB-01')) resolve();
    });
    child.stdout?.once('end', resolve);
  });
  await heard;
  child.kill('SIGINT');
  const [exitCode] = (await once(child, 'exit')) as [number | null];
  expect(stdout).toContain('Board gate-board is CS-GB-01');
  expect(exitCode).toBe(0);
});

/** What a process that a host starts first answers to that. */
async function answer(module: string, message: object): Promise<unknown> {
  const child = installed.start(module);
  const ended = once(child, 'exit');
  const answered = Promise.race([once(child, 'message'), ended]);
  child.send(message);
  const [first] = await answered;
  if (child.connected) child.disconnect();
  await ended;
  return first;
}

test('the processes that a host starts beside itself', async () => {
  expect(await answer('dist/host/cli/replay/side-replay-process.js', { journal: 'none.mcap', listening: { port: 0 } })).toMatchObject({
    why: expect.stringContaining('none.mcap'),
  });
  const journals = join(scratch.path, 'data', 'journals');
  const server = { kind: 'influxdb-1', url: 'http://127.0.0.1:9', database: 'range', tags: {} };
  const start = { what: 'start', server, root: join(scratch.path, 'data'), journals, sessionId: 'none' };
  expect(await answer('dist/host/cli/series/sending-process.js', start)).toMatchObject({ state: { server: expect.any(String) } });
});

test('the thread that makes maps', async () => {
  const module = join(installed.folder, 'dist/host/cli/map/map-thread.js');
  const code = `const { MapThread } = await import(${JSON.stringify(module)}); const thread = new MapThread();
    console.log(JSON.stringify(await thread.ask({ do: 'drag', shots: [] }))); await thread.close();`;
  const { stdout } = await promisify(execFile)(process.execPath, ['--input-type=module', '-e', code], { env: installed.env });
  expect(JSON.parse(stdout)).toMatchObject({ kinds: [] });
});

test('the pages are in it, speak of the command by its own name, and bring the licences of what is in them', () => {
  const pages = join(installed.folder, 'dist', 'dashboards', 'dist');
  const scripts = readdirSync(join(pages, 'assets')).filter((name) => name.endsWith('.js'));
  const text = scripts.map((name) => readFileSync(join(pages, 'assets', name), 'utf8')).join('\n');
  expect(text).not.toContain('npm run');
  const notices = readFileSync(join(pages, 'third-party-notices.txt'), 'utf8');
  for (const name of ['preact', 'uplot', 'uqr', '@preact/signals', 'd3-array']) expect(notices).toContain(`\n${name} `);
});
