/** Who is told what on the Set-up page: who is connected and what lies on disk is the crew's alone, and no answer holds a token. */
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { WebSocket } from 'ws';
import { SessionRigFile } from '../../host/cli/set-up/session-rig-file.ts';
import { LiveFeed, newToken, type RunningServer, startServer } from '../../host/serve/index.ts';
import type { PageClients, RigFileCheck, RigFileInForce } from '../../protocol/index.ts';
import { scratchFolder } from '../support/command.ts';
import { HERON_YAML } from '../support/virtual-range.ts';

const doors = { lookToken: newToken(), crewToken: newToken() };
let scratch: ReturnType<typeof scratchFolder>;
let server: RunningServer;
let rigFile: string;
const sockets: WebSocket[] = [];

beforeEach(async () => {
  scratch = scratchFolder();
  rigFile = join(scratch.path, 'heron.yaml');
  writeFileSync(rigFile, HERON_YAML);
  server = await startServer({
    feed: new LiveFeed({ mode: 'live' }),
    port: 0,
    doors,
    pagesDir: '/nonexistent',
    rigFile: new SessionRigFile(rigFile, HERON_YAML),
  });
});
afterEach(async () => {
  for (const socket of sockets.splice(0)) socket.terminate();
  await server.close();
  scratch.remove();
});

const ask = (path: string, token?: string, headers: Readonly<Record<string, string>> = {}) =>
  fetch(new URL(path, server.url), { headers: { ...(token ? { authorization: `Bearer ${token}` } : {}), ...headers } });
const check = async (): Promise<RigFileCheck> => (await (await ask('/api/rig-file/check', doors.crewToken)).json()) as RigFileCheck;

async function connect(token: string): Promise<WebSocket> {
  const socket = new WebSocket(new URL('/live', server.url.replace('http', 'ws')), ['postern.live.1', `postern.token.${token}`]);
  sockets.push(socket);
  await new Promise((resolve, reject) => socket.once('open', resolve).once('error', reject));
  return socket;
}

test.each(['/api/clients', '/api/rig-file/check'])('%s is for the crew alone', async (path) => {
  expect((await ask(path)).status).toBe(401);
  expect((await ask(path, doors.lookToken)).status).toBe(401);
  expect((await ask(path, doors.crewToken, { 'sec-fetch-site': 'cross-site' })).status).toBe(403);
  const answer = await ask(path, doors.crewToken);
  expect(answer.status).toBe(200);
  expect(answer.headers.get('cache-control')).toBe('no-store');
});

test('lists each page by where it is from and what it may do, and no longer than it is there', async () => {
  await connect(doors.lookToken);
  const acting = await connect(doors.crewToken);
  const list = async () => (await (await ask('/api/clients', doors.crewToken)).json()) as PageClients;
  const { clients, inAll } = await list();
  expect(inAll).toBe(2);
  expect(clients.map(({ address, mayAct }) => [address, mayAct])).toEqual([
    ['127.0.0.1', false],
    ['127.0.0.1', true],
  ]);
  for (const { connectedForS, isThinned } of clients) {
    expect(connectedForS).toBeGreaterThanOrEqual(0);
    expect(isThinned).toBe(false);
  }
  acting.close();
  await expect.poll(async () => (await list()).clients.map(({ mayAct }) => mayAct)).toEqual([false]);
});

test('says how its doors stand, and in no answer a token', async () => {
  expect(await (await ask('/api/doors', doors.lookToken)).json()).toEqual({ lookNeedsToken: true, tokensIn: 'terminal' });
  expect((await ask('/api/doors')).status).toBe(401);
  for (const path of ['/api/doors', '/api/rig-file', '/api/clients', '/api/rig-file/check', '/api/addresses', '/api/health']) {
    const said = await (await ask(path, doors.crewToken)).text();
    expect(said).not.toContain(doors.crewToken);
    expect(await (await ask(path, doors.lookToken)).text()).not.toContain(doors.crewToken);
  }
});

test('shows the rig file that is in force with what the check says of it, whatever becomes of the file', async () => {
  const inForce = async () => (await (await ask('/api/rig-file', doors.lookToken)).json()) as RigFileInForce;
  const before = await inForce();
  expect(before).toMatchObject({ fileName: 'heron.yaml', text: HERON_YAML });
  expect(before.lines[0]).toContain('the rig file is in order');
  expect(await check()).toMatchObject({ isInForce: true, findings: [], text: HERON_YAML });

  const lines = HERON_YAML.split('\n');
  const at = lines.findIndex((line) => line.includes('position: 2.5000 m'));
  writeFileSync(rigFile, HERON_YAML.replace('position: 2.5000 m', 'position: 2.5000 mV'));
  const broken = await check();
  expect(broken).toMatchObject({ isInForce: false, fileName: 'heron.yaml' });
  expect(broken.findings).toHaveLength(1);
  expect(broken.findings[0]).toMatchObject({ line: at + 1, column: (lines[at] ?? '').indexOf('2.5000') + 1 });

  writeFileSync(rigFile, HERON_YAML.replace('position: 2.5000 m', 'position: 2.5010 m'));
  expect(await check()).toMatchObject({ isInForce: false, findings: [] });
  writeFileSync(rigFile, Buffer.from([0xff, 0xfe, 0x00]));
  expect(await check()).toMatchObject({ text: null, lines: [expect.stringContaining('not UTF-8')] });
  rmSync(rigFile);
  expect(await check()).toMatchObject({ text: null, isInForce: false, lines: [expect.stringContaining('there is no such file')] });
  mkdirSync(rigFile);
  expect(await check()).toMatchObject({ text: null, lines: [expect.stringContaining('it is a folder')] });
  expect(await inForce()).toEqual(before);
});
