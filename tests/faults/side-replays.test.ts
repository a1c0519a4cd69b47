/** Recorded sessions replayed beside a live one: in a process and on a port of their own, behind the same keys, one at a time. */
import { copyFileSync, writeFileSync } from 'node:fs';
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest';
import { journalPath, openDataFolder } from '../../host/cli/data/data-folder.ts';
import { SideReplays } from '../../host/cli/replay/side-replays.ts';
import { LiveFeed, newToken, type RunningServer, startServer } from '../../host/serve/index.ts';
import type { SideReplayAnswer, SnapshotMessage } from '../../protocol/index.ts';
import { scratchFolder } from '../support/command.ts';
import { writeVirtualJournal } from '../support/virtual-journal.ts';

const doors = { lookToken: newToken(), crewToken: newToken() };
const scratch = scratchFolder();
const folder = openDataFolder(scratch.path);
let sides: SideReplays;
let server: RunningServer;

beforeAll(async () => {
  await writeVirtualJournal(journalPath(folder, 'first'), { seed: 8, shots: 1, sessionId: 'first' });
  copyFileSync(journalPath(folder, 'first'), journalPath(folder, 'again'));
  copyFileSync(journalPath(folder, 'first'), journalPath(folder, 'running'));
  writeFileSync(journalPath(folder, 'broken'), 'no journal');
  const listening = { host: '127.0.0.1', port: 0, doors, tokensIn: 'terminal' } as const;
  sides = new SideReplays({ folder, listening, hostPort: () => 0, sessionNow: () => 'running' });
  server = await startServer({ feed: new LiveFeed({ mode: 'live' }), port: 0, doors, pagesDir: '/nonexistent', sideReplays: sides });
});
afterEach(() => sides.close());
afterAll(async () => {
  await server.close();
  scratch.remove();
});

async function begin(session: unknown, token = doors.crewToken) {
  const headers = { authorization: `Bearer ${token}`, 'content-type': 'application/json' };
  const answer = await fetch(new URL('/api/replays', server.url), { method: 'POST', headers, body: JSON.stringify({ session }) });
  return { status: answer.status, body: (await answer.json()) as SideReplayAnswer & { readonly message?: string } };
}

const ask = (port: number, path: string, token?: string) =>
  fetch(`http://127.0.0.1:${port}${path}`, token ? { headers: { authorization: `Bearer ${token}` } } : {});

test('is begun by the crew, looked at with the key to look, moved with the crew’s, and ends the one before it', {
  timeout: 60_000,
}, async () => {
  const { body } = await begin('first');
  if (!body.started) throw new Error(body.why);
  const { port } = body.replay;
  expect((await ask(port, '/api/state')).status).toBe(401);
  const state = (await (await ask(port, '/api/state', doors.lookToken)).json()) as SnapshotMessage;
  expect([state.mode, state.sessionId]).toEqual(['replay', 'first']);
  const move = (token: string) => {
    const headers = { authorization: `Bearer ${token}`, 'content-type': 'application/json' };
    return fetch(`http://127.0.0.1:${port}/api/replay`, { method: 'POST', headers, body: '{"do":"pause"}' });
  };
  expect((await move(doors.lookToken)).status).toBe(401);
  expect(await (await move(doors.crewToken)).json()).toEqual({ accepted: true });
  // Asked again it is the same one.
  expect((await begin('first')).body).toEqual(body);
  const told = await (await ask(server.port, '/api/replays', doors.lookToken)).json();
  expect(told).toEqual({ running: body.replay });

  const second = await begin('again');
  expect(second.body.started).toBe(true);
  await expect(ask(port, '/api/health')).rejects.toThrow();
  await sides.close();
  expect(sides.running).toBeUndefined();
  if (second.body.started) await expect(ask(second.body.replay.port, '/api/health')).rejects.toThrow();
});

test.each([
  ['that is not there', 'nowhere', /there is no journal/],
  ['whose name leads elsewhere', '../journals/first', /there is no journal/],
  ['that is running', 'running', /is running/],
  ['whose journal is none', 'broken', /\S/],
])('a session %s is refused with a sentence, and nothing is left running', { timeout: 60_000 }, async (_, session, why) => {
  const { status, body } = await begin(session);
  expect(status).toBe(200);
  expect(body).toMatchObject({ started: false, why: expect.stringMatching(why) });
  expect(sides.running).toBeUndefined();
});

test('what names no session, or comes without the crew’s key, begins nothing', async () => {
  for (const session of ['', 7, null, 'x'.repeat(81), ['first']]) expect((await begin(session)).status).toBe(400);
  expect((await begin('first', doors.lookToken)).status).toBe(401);
  expect(sides.running).toBeUndefined();
});
