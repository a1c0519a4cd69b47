import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { Store, type StoreProblem } from '../../host/store/index.ts';
import { closed, link, makeShot, note, samples, session, temporaryFolder } from './store-fixtures.ts';

let folder: ReturnType<typeof temporaryFolder>;
let problems: StoreProblem[];
let store: Store;
const open = (options = {}) => Store.open(`${folder.path}/store.duckdb`, { onProblem: (problem) => problems.push(problem), ...options });

beforeEach(async () => {
  folder = temporaryFolder();
  problems = [];
  store = await open();
});
afterEach(async () => {
  await store.close();
  folder.remove();
});

const query = { sessionId: 's1', channel: 'reservoirPressure' } as const;

describe('per-second summaries', () => {
  it('hold count, extremes and mean of each second, however the samples were cut into blocks and written', async () => {
    // 1 kHz from 9.3 s on, in blocks of any length, in any order, flushed anywhere.
    const blocks = fc.array(fc.array(fc.integer({ min: 1, max: 4_000_000 }), { minLength: 1, maxLength: 700 }), {
      minLength: 1,
      maxLength: 8,
    });
    let run = 0;
    await fc.assert(
      fc.asyncProperty(blocks, fc.infiniteStream(fc.boolean()), fc.boolean(), async (parts, flushes, backwards) => {
        const sessionId = `q${++run}`;
        const expected = new Map<number, number[]>();
        let at = 9_300_000_000;
        const events = parts.map((values) => {
          const event = samples(at, values);
          values.forEach((value, i) => {
            const second = Math.floor((at + i * 1e6) / 1e9);
            expected.set(second, [...(expected.get(second) ?? []), value]);
          });
          at += values.length * 1e6;
          return event;
        });
        if (backwards) events.reverse();
        for (const event of events) {
          store.apply(sessionId, [event]);
          if (flushes.next().value) await store.flush();
        }
        await store.flush();
        const stored = await store.channelSeconds({ ...query, sessionId });
        expect(stored.map(({ second }) => second)).toEqual([...expected.keys()]);
        for (const { second, n, min, max, mean } of stored) {
          const values = expected.get(second) ?? [];
          expect([n, min, max]).toEqual([values.length, Math.min(...values), Math.max(...values)]);
          expect(mean).toBeCloseTo(values.reduce((a, b) => a + b, 0) / values.length, 4);
        }
      }),
      { numRuns: 25 },
    );
  });

  it('leave out bursts and values that are not finite, and keep channels and spans apart', async () => {
    store.apply('s1', [samples(0, [1, Number.NaN, 3]), samples(0, [99], 'burst'), { ...samples(0, [50]), channel: 'barrelPressure' }]);
    store.apply('s1', [samples(5e9, [7]), samples(6e9, [8])]);
    await store.flush();
    expect(await store.channelSeconds(query)).toEqual([
      { second: 0, n: 2, min: 1, max: 3, mean: 2 },
      { second: 5, n: 1, min: 7, max: 7, mean: 7 },
      { second: 6, n: 1, min: 8, max: 8, mean: 8 },
    ]);
    expect((await store.channelSeconds({ ...query, fromSecond: 1, toSecond: 5 })).map(({ second }) => second)).toEqual([5]);
    expect(await store.channelSeconds({ ...query, channel: 'barrelPressure' })).toEqual([{ second: 0, n: 1, min: 50, max: 50, mean: 50 }]);
    await expect(store.channelSeconds({ ...query, fromSecond: 0.5 })).rejects.toThrow(RangeError);
  });
});

describe('the queue', () => {
  it('when full drops events first, then sessions, never shots, and counts and tells', async () => {
    await store.close();
    store = await open({ queueRowsMax: 10 });
    // All within one turn of the event loop, so that nothing is written between.
    store.apply('s1', [
      session('s1', '2031-05-04T09:00:00Z'),
      ...[1, 2, 3, 4].map((number) => closed(makeShot('s1', number))),
      note('a'),
      link('lost'),
    ]);
    expect(store.dropped).toEqual({ samples: 0, events: 0, sessions: 0 });
    for (let i = 0; i < 10; i++) store.apply('s1', [link('opened')]);
    expect(store.dropped).toEqual({ samples: 0, events: 3, sessions: 0 });
    for (let i = 0; i < 10; i++) store.apply(`s${i + 2}`, [session(`s${i + 2}`, '2031-05-05T09:00:00Z')]);
    expect(store.dropped).toEqual({ samples: 0, events: 12, sessions: 1 });
    expect(store.rowsWaiting).toBe(10 + 4);
    await store.flush();
    expect(store.rowsWaiting).toBe(0);
    expect(await store.shots()).toHaveLength(4);
    expect(await store.sessions()).toHaveLength(10);
    expect(problems.every(({ code }) => code === 'rows-dropped')).toBe(true);
    expect(problems.at(-1)?.message).toMatch(/events.*no shots/);
    // Told at 1, 2, 4, 8 and 16 rows, not at each.
    expect(problems.length).toBeLessThanOrEqual(5);
  });

  it('is written on its own, without a flush', async () => {
    store.apply('s1', [closed(makeShot('s1', 1))]);
    expect(store.rowsWaiting).toBe(1);
    await expect.poll(() => store.rowsWaiting, { timeout: 10_000, interval: 20 }).toBe(0);
  });
});
