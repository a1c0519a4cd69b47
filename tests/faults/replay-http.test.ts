/** Who may move a replay over HTTP, and what it does not understand: each refusal is one sentence, and moves nothing. */
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { DragReport, MapReport, ReplayMarks, ReplayShot, SnapshotMessage } from '../../protocol/index.ts';
import { scratchFolder } from '../support/command.ts';
import { startReplayHost } from '../support/replay-host.ts';
import { writeVirtualJournal } from '../support/virtual-journal.ts';

const scratch = scratchFolder();
let host: Awaited<ReturnType<typeof startReplayHost>>;
beforeAll(async () => {
  const path = join(scratch.path, 'session.mcap');
  await writeVirtualJournal(path, { seed: 8, shots: 1 });
  host = await startReplayHost(path, '/nonexistent');
});
afterAll(async () => {
  await host.close();
  scratch.remove();
});

const post = (body: string, headers: Readonly<Record<string, string>> = {}) =>
  fetch(new URL('/api/replay', host.url), {
    method: 'POST',
    headers: { authorization: `Bearer ${host.token}`, 'content-type': 'application/json', ...headers },
    body,
  });
const PLAY = '{"do":"play"}';

test.each([
  ['without the key', { authorization: '' }, 401],
  ['with another key', { authorization: `Bearer ${'x'.repeat(43)}` }, 401],
  ['from a page of elsewhere', { origin: 'http://elsewhere.example' }, 403],
  ['that its browser sends across sites', { 'sec-fetch-site': 'cross-site' }, 403],
  ['as a form', { 'content-type': 'text/plain' }, 415],
])('a command %s', async (_, headers, status) => {
  const answer = await post(PLAY, headers);
  expect(answer.status).toBe(status);
  expect(await answer.json()).toMatchObject({ message: expect.stringMatching(/^[^.]+$/) });
  expect(host.player.state.playing).toBe(false);
});

test.each(
  [
    '',
    '[]',
    '7',
    '{"do":"fire"}',
    '{"do":"seek"}',
    '{"do":"seek","toNs":-1}',
    '{"do":"seek","toNs":"1"}',
    '{"do":"speed","speed":0}',
  ].concat([
    '{"do":"speed","speed":1e9}',
    '{"do":"speed","speed":"fast"}',
    '{"do":"play","now":true}',
    '{"do":"step"}',
    `{"do":"shot","shotId":"${'9'.repeat(900)}"}`,
    '{'.repeat(40),
  ]),
)('what is no command: %s', async (body) => {
  const answer = await post(body);
  expect(answer.status).toBe(400);
  expect(await answer.json()).toMatchObject({ message: expect.stringMatching(/^[^\n]{10,120}$/) });
  expect(host.player.state).toMatchObject({ playing: false, speed: 1 });
});

test('a command that is too long, and a shot that is not there', async () => {
  expect((await post(`{"do":"play"${' '.repeat(2_000)}}`)).status).toBe(413);
  const answer = await post('{"do":"shot","shotId":"9"}');
  expect(answer.status).toBe(200);
  expect(await answer.json()).toEqual({ accepted: false, why: 'There is no shot 9 in this session.' });
});

test('the page’s state tells how the replay stands; nothing can be written into it; without a corrected rig there is no comparison', async () => {
  const state = (await (await fetch(new URL('/api/state', host.url))).json()) as SnapshotMessage;
  expect(state).toMatchObject({ mode: 'replay', replay: { playing: false, isRead: true, shots: [{ number: 1 }] } });
  expect(JSON.stringify(state)).not.toContain(host.token);
  const act = await fetch(new URL('/api/acts', host.url), { method: 'POST', body: '{}' });
  expect(act.status).toBe(403);
  expect((await fetch(new URL('/api/replay/comparison', host.url))).status).toBe(404);
});

test('its map and its drag are of the shots up to the moment that it shows', async () => {
  const { reading, player } = host;
  const [{ id, closedAtNs }] = reading.shots as [ReplayShot];
  const told = async (path: string) => (await (await fetch(new URL(path, host.url))).json()) as MapReport | DragReport;
  const shotIds = async () => [await told('/api/map'), await told('/api/drag')].map(({ kinds }) => kinds[0]?.points.map((at) => at.shotId));
  expect(await shotIds()).toEqual([undefined, undefined]);
  await player.seek(closedAtNs);
  await expect.poll(shotIds, { timeout: 10_000 }).toEqual([[id], [id]]);
  await player.seek(0);
  await expect.poll(shotIds, { timeout: 10_000 }).toEqual([undefined, undefined]);
});

test('its marks are asked for by number, and what is none is said to be', async () => {
  const ask = async (query: string) => fetch(new URL(`/api/replay/marks${query}`, host.url));
  const all = (await (await ask('')).json()) as ReplayMarks;
  expect(all.marks).toHaveLength(host.reading.marks.count);
  expect(all.marks.length).toBeGreaterThan(3);
  expect(await (await ask('?from=2')).json()).toEqual({ from: 2, marks: all.marks.slice(2) });
  expect(await (await ask('?from=99999')).json()).toEqual({ from: 99_999, marks: [] });
  for (const query of ['?from=-1', '?from=x', '?from=1&from=2', '?from=1e9']) {
    const answer = await ask(query);
    expect(answer.status).toBe(400);
    expect(await answer.json()).toMatchObject({ message: expect.stringMatching(/^[^.]+$/) });
  }
});
