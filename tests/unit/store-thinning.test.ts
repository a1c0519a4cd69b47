/** Thinning takes what it says, of the sessions that it says, and leaves all else. */
import { afterEach, beforeEach, expect, test } from 'vitest';
import { KEEPS, Store } from '../../host/store/index.ts';
import { storeRows } from '../support/store-rows.ts';
import { closed, makeShot, note, samples, session, temporaryFolder } from './store-fixtures.ts';

let folder: ReturnType<typeof temporaryFolder>;
const file = (): string => `${folder.path}/store.duckdb`;

beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(() => folder.remove());

async function filled(): Promise<Store> {
  const store = await Store.open(file());
  for (const [id, openedAt] of [
    ['old', '2031-05-04T09:00:00Z'],
    ['new', '2031-08-01T09:00:00Z'],
  ] as const) {
    const counts = Array.from({ length: 500 }, (_, i) => 1_000 + (i % 40));
    const counted = Array.from({ length: 240 }, (_, i) => {
      const valuesSi = counts.map((count) => 3 * count);
      return { ...samples(i * 5e8, valuesSi), counts, addedSi: 0 };
    });
    store.apply(id, [
      session(id, openedAt),
      ...counted,
      { ...samples(0, [1, 2]), channel: 'alone' },
      note('calm'),
      closed(makeShot(id, 1)),
    ]);
  }
  await store.flush();
  return store;
}

const ORDER = ['samples', 'channel_tenth_parts', 'channel_second_parts', 'channel_ten_parts', 'channel_minute_parts'] as const;
/** How many of ORDER, from its beginning, have gone. */
const GONE = { tenths: 1, seconds: 2, minutes: 4, shots: 5 } as const;

test.each(KEEPS)('keep %s: so much goes of the old session, and nothing else', async (keep) => {
  const store = await filled();
  const query = { sessionId: 'old', channels: ['reservoirPressure'], fromNs: 0, toNs: 120e9, points: 1_000 };
  const before = 2 * 240 * 500;
  const plan = await store.planThinning('2031-06-01T00:00:00Z', keep);
  expect([plan.sessions, plan.samples]).toEqual([['old'], before / 2 + 2]);
  await store.thin(plan);
  expect((await store.planThinning('2031-06-01T00:00:00Z', keep)).sessions).toEqual([]);
  // What is left of it still answers, coarser.
  const [span] = (await store.span(query)).channels;
  const n = span?.n.reduce((sum, each) => sum + each, 0);
  expect(n).toBe(keep === 'shots' ? 0 : before / 2);
  expect((await store.shots()).length).toBe(2);
  await store.close();
  const rows = await storeRows(file());
  for (const [i, table] of ORDER.entries()) {
    const sessions = new Set((rows[table] ?? []).map((row) => (JSON.parse(row) as string[])[0]));
    expect([table, [...sessions].sort()]).toEqual([table, i < GONE[keep] ? ['new'] : ['new', 'old']]);
  }
  expect(rows.events?.length).toBe(2);
});

test('a plan of nothing does nothing', async () => {
  const store = await filled();
  const plan = await store.planThinning('2031-01-01T00:00:00Z', 'shots');
  expect(plan).toEqual({ keep: 'shots', sessions: [], openedFrom: '', openedTo: '', samples: 0, summaries: 0 });
  await store.close();
  const before = await storeRows(file());
  const again = await Store.open(file());
  await again.thin(plan);
  await again.close();
  expect(await storeRows(file())).toEqual(before);
});
