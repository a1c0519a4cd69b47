/** Shots of earlier sessions: left out and noted in the session that runs, kept in its journal, shown by the store and over HTTP. */
import { afterEach, beforeEach, expect, test } from 'vitest';
import { historyLines } from '../../host/cli/history/history-lines.ts';
import { LiveFeed, startServer } from '../../host/serve/index.ts';
import { Store } from '../../host/store/index.ts';
import type { OperatorAct } from '../../protocol/index.ts';
import { scratchFolder } from '../support/command.ts';
import { type CrewHost, startCrewHost } from '../support/crew-host.ts';
import { closed, makeShot, note, session } from '../unit/store-fixtures.ts';

const EARLIER = makeShot('s1', 2);
let scratch: ReturnType<typeof scratchFolder>;
let host: CrewHost;
let store: Store;

beforeEach(async () => {
  scratch = scratchFolder();
  store = await Store.open(`${scratch.path}/store.duckdb`);
  store.apply('s1', [session('s1', '2031-05-04T09:00:00Z'), closed(makeShot('s1', 1)), closed(EARLIER)]);
  host = await startCrewHost(scratch.path, { book: store });
});
afterEach(async () => {
  await host.close();
  await store.close();
  scratch.remove();
});

async function act(
  value: OperatorAct,
): Promise<{ readonly status: number; readonly body: { readonly accepted?: boolean; readonly why?: string } }> {
  const headers = { authorization: `Bearer ${host.token}`, 'content-type': 'application/json' };
  const answer = await fetch(new URL('/api/acts', host.url), { method: 'POST', headers, body: JSON.stringify(value) });
  return { status: answer.status, body: (await answer.json()) as { accepted?: boolean; why?: string } };
}

const LEAVE_OUT = { act: 'exclude', shotId: EARLIER.id, sessionId: 's1', excluded: true, reason: 'film torn', who: 'Ane' } as const;
const operatorRecords = () => host.records.filter(({ kind }) => kind === 'operator').length;

test('a shot of an earlier session is left out, noted and taken in again, by records of the session that runs', async () => {
  expect(await act(LEAVE_OUT)).toEqual({ status: 200, body: { accepted: true } });
  expect(await act({ act: 'note', text: 'looked at the film', shotId: EARLIER.id, sessionId: 's1', who: 'Ane' })).toMatchObject({
    body: { accepted: true },
  });
  expect(operatorRecords()).toBe(2);
  // As the live session hands them on, and as a rebuild does from its journal.
  store.apply('cs-crew', [{ ...session('cs-crew', '2031-05-05T10:00:00Z') }, ...host.events.filter(({ type }) => type !== 'session')]);
  expect((await store.shot(EARLIER.id))?.exclusion).toMatchObject({ reason: 'film torn', who: 'Ane', sessionId: 'cs-crew' });
  const [row] = (await store.shotTable()).filter(({ id }) => id === EARLIER.id);
  expect(row).toMatchObject({ excluded: true, excludedBecause: 'film torn', excludedBy: 'Ane', notes: ['looked at the film'] });
  expect((await store.shotTable()).filter(({ excluded }) => excluded)).toHaveLength(1);
  store.apply('cs-crew', [
    { type: 'shot-excluded', atNs: 5e9, shotId: EARLIER.id, sessionId: 's1', excluded: false, reason: 'film was whole', who: 'Ola' },
  ]);
  expect((await store.shot(EARLIER.id))?.exclusion).toBeUndefined();
  const acts = await store.shotActs(EARLIER.id);
  expect(acts.map(({ session: of, event }) => [of, event.type])).toEqual([
    ['cs-crew', 'shot-excluded'],
    ['cs-crew', 'note'],
    ['cs-crew', 'shot-excluded'],
  ]);
  // The report of the session that the shot is of lists them, and no other shot's.
  expect(await store.laterActs('s1')).toEqual(acts);
  expect(await store.laterActs('cs-crew')).toEqual([]);
  expect(acts[2]?.at).toBe('2031-05-05T10:00:05.000000Z');
  const told = {
    shot: EARLIER.id,
    journal: 's1.mcap',
    rigFileRecord: 1,
    softwareVersion: '',
    lastRecordBeforeFiring: 1,
    edges: [],
    edits: [],
    damages: 0,
  };
  expect(historyLines(told, acts).join('\n')).toMatch(/Ola +taken in again: film was whole +cs-crew/);
});

test.each([
  ['no such shot', { ...LEAVE_OUT, shotId: 's1-9' }],
  ['a shot of another session than is said', { ...LEAVE_OUT, sessionId: 's0' }],
  ['a shot that is said to be of this session', { ...LEAVE_OUT, sessionId: 'cs-crew' }],
  ['a note on no such shot', { act: 'note', text: 'x', shotId: 's1-9', sessionId: 's1', who: 'Ane' }],
] as const)('%s is refused with a sentence, and nothing is left out', async (_, value) => {
  const { status, body } = await act(value);
  expect(status).toBe(200);
  expect(body).toMatchObject({ accepted: false, why: expect.stringContaining('there is no shot') });
  expect(host.events.filter(({ type }) => type === 'shot-excluded' || type === 'note')).toEqual([]);
});

test.each(['../x', '', 'a b', 7])('a session called %j is no act', async (sessionId) => {
  expect((await act({ ...LEAVE_OUT, sessionId } as unknown as OperatorAct)).status).toBe(400);
  expect(operatorRecords()).toBe(0);
});

test('over HTTP: what was done to a shot, the rig of a session, and a long table packed for whoever takes it so', async () => {
  store.apply('s1', [
    { ...note('bore wiped', EARLIER.id), atNs: 2e9 },
    ...Array.from({ length: 60 }, (_, i) => closed(makeShot('s1', i + 10))),
  ]);
  const server = await startServer({ feed: new LiveFeed({ mode: 'live' }), port: 0, pagesDir: '/nonexistent', history: store });
  const ask = async (path: string, encoding = 'identity') => {
    const answer = await fetch(new URL(path, server.url), { headers: { 'accept-encoding': encoding } });
    return { status: answer.status, packed: answer.headers.get('content-encoding'), body: (await answer.json()) as unknown };
  };
  try {
    expect((await ask(`/api/shots/${EARLIER.id}/acts`)).body).toMatchObject([{ session: 's1', at: '2031-05-04T09:00:02.000000Z' }]);
    expect((await ask('/api/shots/none/acts')).body).toEqual([]);
    expect((await ask('/api/sessions/s1/rig')).body).toMatchObject({ name: 'Heron', targetPositionM: 11 });
    expect((await ask('/api/sessions/s9/rig')).status).toBe(404);
    const [plain, packed] = [await ask('/api/shot-table'), await ask('/api/shot-table', 'gzip')];
    expect([plain.packed, packed.packed]).toEqual([null, 'gzip']);
    expect(packed.body).toEqual(plain.body);
    expect((plain.body as { shots: unknown[] }).shots).toHaveLength(62);
  } finally {
    await server.close();
  }
});
