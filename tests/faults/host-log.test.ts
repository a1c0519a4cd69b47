/** The log must not stand in the way: a disk that refuses it, a file that is turned over while it is written. */
import { existsSync, readFileSync, renameSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { HostLog, WAITING_BYTES_MAX } from '../../host/cli/log/host-log.ts';
import { LiveFeed, startServer } from '../../host/serve/index.ts';
import { scratchFolder } from '../support/command.ts';

let scratch: ReturnType<typeof scratchFolder>;
beforeEach(() => {
  scratch = scratchFolder();
});
afterEach(() => {
  vi.restoreAllMocks();
  scratch.remove();
});

type Line = Readonly<Record<string, unknown>>;
const linesOf = (file: string): readonly Line[] =>
  readFileSync(file, 'utf8')
    .trimEnd()
    .split('\n')
    .map((line) => JSON.parse(line) as Line);

test('each line has level, time, source and session', async () => {
  const file = join(scratch.path, 'a.log');
  const log = await HostLog.open(file);
  log.logger.info('before a session');
  log.session = 'S1';
  log.logger.warn({ source: 'gates', token: 'secret' }, 'link');
  await log.close();
  const [first, second] = linesOf(file);
  expect(first).toMatchObject({ level: 'info', source: 'host', msg: 'before a session', pid: process.pid });
  expect(first).not.toHaveProperty('session');
  expect(second).toMatchObject({ level: 'warn', source: 'gates', session: 'S1', msg: 'link' });
  expect(Date.parse(String(second?.time))).not.toBeNaN();
  const text = readFileSync(file, 'utf8');
  expect(text.match(/"source"/g)).toHaveLength(2);
  expect(text).not.toContain('secret');
});

test('a file turned over again and again by rename and SIGUSR2 loses no line', async () => {
  const file = join(scratch.path, 'a.log');
  const log = await HostLog.open(file);
  const turns = 5;
  for (let turn = 0; turn < turns; turn += 1) {
    for (let n = 0; n < 200; n += 1) log.logger.info({ n: turn * 200 + n }, 'line');
    await vi.waitUntil(() => existsSync(file) && readFileSync(file).length > 0);
    renameSync(file, `${file}.${turn}`);
    process.kill(process.pid, 'SIGUSR2');
    await vi.waitUntil(() => existsSync(file));
  }
  await log.close();
  const all = [...Array.from({ length: turns }, (_, turn) => linesOf(`${file}.${turn}`)).flat()];
  const rest = readFileSync(file, 'utf8').length > 0 ? linesOf(file) : [];
  expect([...all, ...rest].map(({ n }) => n)).toEqual(Array.from({ length: turns * 200 }, (_, n) => n));
});

test('a fault of the host itself is the last line', async () => {
  const file = join(scratch.path, 'a.log');
  const log = await HostLog.open(file);
  (process as NodeJS.EventEmitter).emit('uncaughtExceptionMonitor', new Error('a fault'), 'uncaughtException');
  await log.close();
  expect(linesOf(file).at(-1)).toMatchObject({ level: 'fatal', err: { message: 'a fault' } });
});

test('without a file the signal of the log rotation ends nothing', async () => {
  const log = await HostLog.open(undefined);
  process.kill(process.pid, 'SIGUSR2');
  await new Promise((resolve) => setImmediate(resolve));
  await log.close();
});

test('a file that cannot be opened is told at the start', async () => {
  await expect(HostLog.open(join(scratch.path, 'no', 'such', 'folder.log'))).rejects.toThrow(/^The log \S+ cannot be opened: ENOENT/);
});

describe.skipIf(!existsSync('/dev/full'))('on a full disk (needs /dev/full)', () => {
  test('told once; beyond its bound dropped and counted, in bounded memory; its end does not wait', async () => {
    const told = vi.spyOn(process.stderr, 'write').mockReturnValue(true);
    const log = await HostLog.open('/dev/full');
    const line = 'x'.repeat(1000);
    const lines = 5_000;
    for (let n = 0; n < lines; n += 1) log.logger.info(line);
    await vi.waitUntil(() => told.mock.calls.length > 0);
    log.logger.fatal('written at once where it can be');
    await log.close();
    expect(told.mock.calls.flat().join('')).toMatch(/^The log \/dev\/full cannot be written \(ENOSPC[^\n]*\): beyond 1 MiB[^\n]*\n$/);
    expect(log.linesDropped).toBeGreaterThanOrEqual(lines - WAITING_BYTES_MAX / line.length);
  });
});

test('the server logs what failed, without the secrets of an address, and nothing of what was served', async () => {
  const file = join(scratch.path, 'a.log');
  const log = await HostLog.open(file);
  const shots = { shots: () => Promise.reject(new Error('the store is gone')), shot: () => Promise.resolve(undefined) };
  const server = await startServer({
    feed: new LiveFeed({ mode: 'live' }),
    store: shots,
    port: 0,
    pagesDir: scratch.path,
    log: log.logger,
  });
  try {
    const headers = { authorization: 'Bearer secret-in-header' };
    await fetch(new URL('api/health?token=secret-in-address', server.url), { headers });
    await fetch(new URL('no-such-place?token=secret-in-address', server.url), { headers });
    expect((await fetch(new URL('api/shots?limit=5&token=secret-in-address', server.url), { headers })).status).toBe(500);
  } finally {
    await server.close();
    await log.close();
  }
  const failed = linesOf(file).filter(({ level }) => level === 'error');
  expect(failed.length).toBeGreaterThan(0);
  expect(failed[0]).toMatchObject({ err: { message: 'the store is gone' }, req: { url: '/api/shots' } });
  const text = readFileSync(file, 'utf8');
  expect(text).not.toContain('secret');
  expect(text).not.toContain('no-such-place');
});
