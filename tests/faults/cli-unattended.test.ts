/** A host that nobody watches: however it is told to end it ends in order, and no second one gets into its data folder. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { connect } from 'node:net';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { openDataFolder } from '../../host/cli/data/data-folder.ts';
import { FolderHold, holdName } from '../../host/cli/data/folder-hold.ts';
import { RunningCommand, scratchFolder } from '../support/command.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const MCAP_END = '894d434150300d0a';
const LIMIT = { timeout: 60_000 };

let scratch: ReturnType<typeof scratchFolder>;
let running: RunningCommand[] = [];
let data: string;
let rigFile: string;
beforeEach(() => {
  scratch = scratchFolder();
  data = join(scratch.path, 'data');
  rigFile = join(scratch.path, 'heron.yaml');
  copyFileSync(join(ROOT, 'firmware-sim', 'heron.yaml'), rigFile);
});
afterEach(async () => {
  await Promise.all(running.map((command) => command.kill()));
  running = [];
  scratch.remove();
});

function run(...more: readonly string[]): RunningCommand {
  const command = new RunningCommand(['run', rigFile, '--data', data, '--port', '0', ...more]);
  running.push(command);
  return command;
}

const journals = (): readonly string[] =>
  readdirSync(join(data, 'journals')).map((name) =>
    readFileSync(join(data, 'journals', name))
      .subarray(-8)
      .toString('hex'),
  );

describe('ends in order, with exit code 0', () => {
  test.each(['SIGTERM', 'SIGHUP'] as const)('on %s', LIMIT, async (signal) => {
    const log = join(scratch.path, 'host.log');
    const host = run('--log', log);
    const token = (await host.says(/#token=(\S+)/))[1] ?? '';
    await host.says(/is looked for/);
    host.signal(signal);
    if (signal === 'SIGHUP') host.signal(signal);
    expect(await host.finished()).toMatchObject({ exitCode: 0, stdout: expect.stringMatching(/closed, shots: 0\.\n$/) });
    expect(journals()).toEqual([MCAP_END]);
    expect(existsSync(join(data, 'host.json'))).toBe(false);
    expect(existsSync(join(data, 'store.duckdb.wal'))).toBe(false);
    const text = readFileSync(log, 'utf8');
    expect(text).not.toContain(token);
    const lines = text
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as Readonly<Record<string, unknown>>);
    const versions = { version: expect.any(String), node: process.version };
    expect(lines).toContainEqual(expect.objectContaining({ msg: 'session begins', ...versions }));
    expect(lines).toContainEqual(expect.objectContaining({ msg: 'link', source: 'gate-board', change: 'searching' }));
    expect(lines).toContainEqual(expect.objectContaining({ msg: 'asked to end', signal }));
    expect(lines.at(-1)).toMatchObject({ msg: 'session ended', session: expect.any(String) });
  });
});

test('a second host is told who holds the folder; killed, it leaves the folder free at once', LIMIT, async () => {
  const first = run();
  const [, sessionId, url] = await first.says(/Session (\S+): watch it at (\S+)/);
  const second = await run().finished();
  expect(second).toMatchObject({ exitCode: 1, stdout: '' });
  expect(second.stderr).toMatch(/^[^\n]+\n$/);
  for (const said of [`process ${first.pid} since 2`, `session ${sessionId} at ${url}`, '--data']) expect(second.stderr).toContain(said);
  await first.kill();
  const third = run();
  await third.says(/watch it at/);
  third.signal('SIGTERM');
  expect(await third.finished()).toMatchObject({ exitCode: 0 });
});

describe('the hold on a folder', () => {
  const CONTENDERS = 6;

  test('of several that start at once one gets it, and the next one after a kill -9', LIMIT, async () => {
    const folder = openDataFolder(data);
    const program = join(scratch.path, 'contender.mts');
    writeFileSync(
      program,
      `import { FolderHold, holdName } from ${JSON.stringify(join(ROOT, 'host', 'cli', 'data', 'folder-hold.ts'))};
       import { openDataFolder } from ${JSON.stringify(join(ROOT, 'host', 'cli', 'data', 'data-folder.ts'))};
       const folder = openDataFolder(${JSON.stringify(data)});
       setInterval(() => undefined, 1000);
       process.send('ready');
       process.once('message', () => FolderHold.take(folder).then(() => process.send('held'), (error) => process.send(error.message)));`,
    );
    const contenders = Array.from({ length: CONTENDERS }, () =>
      spawn(process.execPath, ['--import', 'tsx', program], { cwd: ROOT, stdio: ['ignore', 'ignore', 'inherit', 'ipc'] }),
    );
    try {
      await Promise.all(contenders.map((child) => once(child, 'message')));
      const answers = contenders.map(async (child) => String((await once(child, 'message'))[0]));
      for (const child of contenders) child.send('go');
      const said = await Promise.all(answers);
      expect(said.filter((answer) => answer === 'held')).toHaveLength(1);
      const holder = contenders[said.indexOf('held')];
      for (const answer of said) if (answer !== 'held') expect(answer).toContain(`in use by process ${holder?.pid} since`);
      const ended = once(holder as NonNullable<typeof holder>, 'exit');
      holder?.kill('SIGKILL');
      await ended;
      await (await FolderHold.take(folder)).release();
    } finally {
      for (const child of contenders) child.kill('SIGKILL');
    }
  });

  test('is not kept by one who asks and never hangs up, and tells nothing but who and where', async () => {
    const folder = openDataFolder(data);
    const hold = await FolderHold.take(folder);
    const session = { sessionId: 'S', url: 'http://127.0.0.1:1/', crewUrl: 'http://127.0.0.1:1/#token=secret' };
    hold.session = session;
    const refusal = await FolderHold.take(folder).catch((error: Error) => error.message);
    expect(refusal).toContain('session S at http://127.0.0.1:1/');
    expect(refusal).not.toContain('secret');
    const idle = connect({ path: holdName(folder), allowHalfOpen: true });
    await once(idle, 'connect');
    await hold.release();
    idle.destroy();
    await (await FolderHold.take(folder)).release();
  });

  test('of the same folder by another path is the same hold; of another folder another', async () => {
    mkdirSync(join(scratch.path, 'deep'), { recursive: true });
    const hold = await FolderHold.take(openDataFolder(data));
    await expect(FolderHold.take(openDataFolder(join(scratch.path, 'deep', '..', 'data')))).rejects.toThrow(`process ${process.pid}`);
    await (await FolderHold.take(openDataFolder(join(scratch.path, 'deep')))).release();
    await hold.release();
  });
});
