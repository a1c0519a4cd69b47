/** The past over HTTP, from a real store: what is asked is checked, what is answered is bounded. */
import { fileURLToPath } from 'node:url';
import fc from 'fast-check';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { LiveFeed, type RunningServer, startServer } from '../../host/serve/index.ts';
import { Store } from '../../host/store/index.ts';
import { closed, makeShot, samples, session, temporaryFolder } from './store-fixtures.ts';

const NO_PAGES = fileURLToPath(new URL('./no-such-folder', import.meta.url));
let folder: ReturnType<typeof temporaryFolder>;
let store: Store;
let server: RunningServer;

beforeAll(async () => {
  folder = temporaryFolder();
  store = await Store.open(`${folder.path}/store.duckdb`);
  store.apply('s1', [session('s1', '2031-05-04T09:00:00Z'), ...Array.from({ length: 100 }, (_, i) => samples(i * 1e9, [i, i + 0.5]))]);
  await store.flush();
  server = await startServer({ feed: new LiveFeed({ mode: 'live' }), port: 0, pagesDir: NO_PAGES, history: store });
});
afterAll(async () => {
  await server.close();
  await store.close();
  folder.remove();
});

const ask = async (path: string): Promise<{ status: number; body: Record<string, unknown> }> => {
  const answer = await fetch(new URL(path, server.url));
  return { status: answer.status, body: (await answer.json()) as Record<string, unknown> };
};

test('lists the sessions with their channels, and answers a span of one', async () => {
  const channels = [{ name: 'reservoirPressure', measures: 'pressure', unit: 'Pa' }];
  expect((await ask('/api/sessions')).body).toEqual([
    { id: 's1', openedAt: '2031-05-04T09:00:00Z', rig: 'Heron', site: 'Cold Sike', shots: 0, shotsFlagged: 0, channels },
  ]);
  const { status, body } = await ask('/api/history?session=s1&from=20&to=40&points=2');
  expect(status).toBe(200);
  expect(body).toEqual({
    session: 's1',
    widthS: 10,
    channels: [{ channel: 'reservoirPressure', at: [2, 3], n: [20, 20], min: [20, 30], max: [29.5, 39.5], mean: [24.75, 34.75] }],
  });
  const raw = await ask('/api/history?session=s1&channels=reservoirPressure,none&from=20&to=20.5&points=1000');
  expect(raw.body.channels).toEqual([
    { channel: 'reservoirPressure', at: [40_000, 40_002], n: [1, 1], min: [20, 20.5], max: [20, 20.5], mean: [20, 20.5] },
    { channel: 'none', at: [], n: [], min: [], max: [], mean: [] },
  ]);
});

test('lists every shot as a flat row, newest first', async () => {
  const other = await Store.open(`${folder.path}/shots.duckdb`);
  const shots = [makeShot('s1', 1), makeShot('s1', 2, { flags: ['gate-doubtful'] })];
  other.apply('s1', [
    ...shots.map(closed),
    { type: 'shot-excluded', atNs: 1, shotId: 's1-2', excluded: true, reason: 'film', who: 'lead' },
  ]);
  const table = await other.shotTable();
  expect(table.map(({ id, flags, excluded }) => [id, flags, excluded])).toEqual([
    ['s1-2', ['gate-doubtful'], true],
    ['s1-1', [], false],
  ]);
  for (const row of table) {
    const shot = shots.find(({ id }) => id === row.id);
    expect(Date.parse(row.firedAt)).toBe(Date.parse(shot?.firedAt ?? ''));
    expect([row.muzzleVelocityMps, row.mach, row.reservoirPressurePa]).toEqual([
      shot?.muzzleVelocityMps?.value ?? null,
      shot?.mach?.value ?? null,
      shot?.reservoirPressurePa?.value ?? null,
    ]);
  }
  await other.close();
  expect((await ask('/api/shot-table')).body).toEqual({ shots: [] });
});

test.each([
  ['/api/history?from=0&to=1', 400],
  ['/api/history?session=s1&from=1&to=1', 400],
  ['/api/history?session=s1&from=-1&to=1', 400],
  ['/api/history?session=s1&from=0&to=1e9', 400],
  ['/api/history?session=s1&from=0&to=1&points=4001', 400],
  ['/api/history?session=s1&session=s2&from=0&to=1', 400],
  ["/api/history?session=s1'--&from=0&to=1", 400],
  ['/api/history?session=s1&from=0&to=1&channels=', 400],
  [`/api/history?session=s1&from=0&to=1&channels=${Array.from({ length: 65 }, (_, i) => i).join(',')}`, 400],
  ['/api/history?session=s9&from=0&to=1', 404],
])('%s is refused with a sentence', async (path, status) => {
  const answer = await ask(path);
  expect(answer.status).toBe(status);
  expect(String(answer.body.message)).toMatch(/ /);
});

test('whatever stands in the address, the answer is one of those, and no more than was asked for', async () => {
  const text = fc.oneof(fc.constantFrom('s1', '0', '5', '100', '0.25', 'reservoirPressure'), fc.string({ maxLength: 12 }));
  const query = fc.dictionary(fc.constantFrom('session', 'from', 'to', 'points', 'channels'), text);
  await fc.assert(
    fc.asyncProperty(query, async (parts) => {
      const { status, body } = await ask(`/api/history?${new URLSearchParams({ session: 's1', from: '0', ...parts })}`);
      expect([200, 400, 404]).toContain(status);
      for (const { at } of (body.channels as { at: number[] }[] | undefined) ?? []) expect(at.length).toBeLessThanOrEqual(4_001);
    }),
    { numRuns: 60 },
  );
});

test('a host without a store says so', async () => {
  const bare = await startServer({ feed: new LiveFeed({ mode: 'live' }), port: 0, pagesDir: NO_PAGES });
  for (const path of ['/api/sessions', '/api/shot-table', '/api/history?session=s1&from=0&to=1']) {
    expect((await fetch(new URL(path, bare.url))).status).toBe(404);
  }
  await bare.close();
});
