import { DuckDBInstance } from '@duckdb/node-api';
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { Store, type StoreProblem } from '../../host/store/index.ts';
import type { Shot } from '../../protocol/index.ts';
import { closed, link, makeShot, note, rig, samples, session, temporaryFolder } from './store-fixtures.ts';

let folder: ReturnType<typeof temporaryFolder>;
let problems: StoreProblem[];
let store: Store;
const file = () => `${folder.path}/store.duckdb`;
const open = (options = {}) => Store.open(file(), { onProblem: (problem) => problems.push(problem), ...options });

beforeEach(async () => {
  folder = temporaryFolder();
  problems = [];
  store = await open();
});
afterEach(async () => {
  await store.close();
  folder.remove();
});

/** What SQL users see, once the store has let go of the file. */
async function sql(query: string): Promise<unknown[][]> {
  await store.close();
  const instance = await DuckDBInstance.create(file(), { access_mode: 'READ_ONLY' });
  const connection = await instance.connect();
  try {
    return (await connection.runAndReadAll(query)).getRowsJson();
  } finally {
    connection.closeSync();
    instance.closeSync();
  }
}

describe('shots in the store', () => {
  it('come back as they were, also after closing and opening again', async () => {
    const shots = [1, 2, 3].map((number) => makeShot('s1', number));
    store.apply('s1', shots.map(closed));
    expect(await store.shots()).toEqual([...shots].reverse());
    await store.close();
    store = await open();
    expect(store.found).toBe('existing');
    expect(await store.shots()).toEqual([...shots].reverse());
    expect(await store.shot('s1-2')).toEqual(shots[1]);
    expect(await store.shot('s1-9')).toBeUndefined();
    expect(problems).toEqual([]);
  });

  it('come back as they were whatever numbers, texts and gaps are in them', async () => {
    const number = fc.double({ noNaN: true, noDefaultInfinity: true }).map((value) => value + 0); // JSON knows no negative zero
    const changes = fc.record(
      {
        projectile: fc.string({ unit: 'binary' }),
        traces: fc.array(
          fc.record({
            channel: fc.string(),
            stream: fc.constantFrom('slow' as const, 'burst' as const),
            fromS: number,
            periodS: number,
            valuesPa: fc.array(number),
          }),
          { maxLength: 3 },
        ),
        reservoirPressurePa: fc.record({
          value: number,
          unit: fc.string(),
          standardUncertainty: number,
          ageS: number,
          origin: fc.constant('assumed' as const),
        }),
        flags: fc.uniqueArray(fc.constantFrom('no-trigger' as const, 'gate-missed' as const, 'gate-doubtful' as const)),
      },
      { requiredKeys: [] },
    );
    let count = 0;
    await fc.assert(
      fc.asyncProperty(changes, async (change) => {
        const { muzzleVelocityMps: _, ...bare } = makeShot('s1', ++count);
        const shot: Shot = { ...bare, ...change };
        store.apply('s1', [closed(shot)]);
        expect(await store.shot(shot.id)).toEqual(shot);
      }),
      { numRuns: 60 },
    );
    expect(problems).toEqual([]);
  });

  it('are kept only when closed, and a later one takes the place of an earlier', async () => {
    const first = makeShot('s1', 1);
    store.apply('s1', [
      { ...closed(first), phase: 'opened' },
      { ...closed(first), phase: 'measured' },
    ]);
    expect(await store.shots()).toEqual([]);
    store.apply('s1', [closed(first)]);
    await store.flush();
    const later = makeShot('s1', 1, { flags: ['fetched-late'], projectile: 'another' });
    store.apply('s1', [closed(makeShot('s1', 1, { projectile: 'between' })), closed(later)]);
    expect(await store.shots()).toEqual([later]);
  });

  it('are found by session, rig, time and flags, newest first, no more than asked for', async () => {
    const shots = [
      makeShot('s1', 1),
      makeShot('s1', 2, { flags: ['gate-missed'] }),
      makeShot('s2', 3, { rigName: 'Bittern' }),
      makeShot('s2', 4, { flags: ['gate-doubtful', 'air-stale'] }),
    ];
    store.apply('s1', shots.slice(0, 2).map(closed));
    store.apply('s2', shots.slice(2).map(closed));
    const numbers = async (query: Parameters<Store['shots']>[0]) => (await store.shots(query)).map(({ number }) => number);
    expect(await numbers({})).toEqual([4, 3, 2, 1]);
    expect(await numbers({ limit: 2 })).toEqual([4, 3]);
    expect(await numbers({ sessionId: 's1' })).toEqual([2, 1]);
    expect(await numbers({ rig: 'Heron', flags: 'clean' })).toEqual([1]);
    expect(await numbers({ flags: 'flagged' })).toEqual([4, 2]);
    expect(await numbers({ since: shots[2]?.firedAt ?? '' })).toEqual([4, 3]);
    expect(await numbers({ since: '2031-05-04T11:03:00+02:00' })).toEqual([4, 3]);
    expect(await numbers({ sessionId: "s1' OR '1'='1" })).toEqual([]);
    expect((await store.shots({ traces: false, limit: 1 }))[0]).toEqual({ ...shots[3], traces: [] });
    await expect(store.shots({ limit: 0 })).rejects.toThrow(RangeError);
    await expect(store.shots({ since: 'yesterday' })).rejects.toThrow(RangeError);
  });

  it('are flat columns to a person with SQL', async () => {
    const shot = makeShot('s1', 7, { flags: ['air-stale'] });
    const { mach: _, ...withoutMach } = makeShot('s1', 8);
    store.apply('s1', [closed(shot), closed(withoutMach)]);
    const rows = await sql(
      "SELECT fired_at, muzzle_velocity_mps, muzzle_velocity_u_mps, mach, air_density_kg_m3, flags[1], shot->>'$.rigName' FROM shots ORDER BY number",
    );
    expect(rows).toEqual([
      ['2031-05-04 09:07:00.123456', shot.muzzleVelocityMps?.value, 0.07, shot.mach?.value, 1.183, 'air-stale', 'Heron'],
      ['2031-05-04 09:08:00.123456', withoutMach.muzzleVelocityMps?.value, 0.07, null, 1.183, null, 'Heron'],
    ]);
  });
});

describe('sessions, notes and links in the store', () => {
  it('sessions come newest first with their rig and their shots counted', async () => {
    store.apply('s1', [
      session('s1', '2031-05-04T09:00:00.000001Z'),
      closed(makeShot('s1', 1)),
      closed(makeShot('s1', 2, { flags: ['gate-doubtful'] })),
    ]);
    store.apply('s2', [session('s2', '2031-05-05T09:00:00Z')]);
    expect(await store.sessions()).toEqual([
      {
        id: 's2',
        openedAt: '2031-05-05T09:00:00Z',
        originUtcUs: 1_935_738_000_000_000n,
        rig,
        softwareVersion: '0.1.0',
        shots: 0,
        shotsFlagged: 0,
      },
      {
        id: 's1',
        openedAt: '2031-05-04T09:00:00.000001Z',
        originUtcUs: 1_935_651_600_000_001n,
        rig,
        softwareVersion: '0.1.0',
        shots: 2,
        shotsFlagged: 1,
      },
    ]);
    store.apply('s2', [session('s2', '2031-05-05T10:00:00Z')]);
    expect((await store.sessions()).map(({ openedAt }) => openedAt)).toEqual(['2031-05-05T10:00:00Z', '2031-05-04T09:00:00.000001Z']);
  });

  it('notes and link events are tables', async () => {
    store.apply('s1', [note('wind rising'), note("film didn't burst; --", 's1-1'), link('lost'), link('opened')]);
    const columns = 'SELECT session, at_ns, shot, text FROM notes UNION ALL SELECT session, at_ns, source, change FROM link_events';
    expect(await sql(`SELECT * FROM (${columns}) ORDER BY text`)).toEqual([
      ['s1', '5000000000', 's1-1', "film didn't burst; --"],
      ['s1', '1000000000', 'gates', 'lost'],
      ['s1', '1000000000', 'gates', 'opened'],
      ['s1', '5000000000', null, 'wind rising'],
    ]);
  });
});

describe('replacing a session', () => {
  it('written again, it is the same, and other sessions stay', async () => {
    const events = [
      session('s1', '2031-05-04T09:00:00Z'),
      closed(makeShot('s1', 1)),
      closed(makeShot('s1', 2)),
      note('calm'),
      link('opened'),
      samples(0, [1, 2]),
    ];
    store.apply('s1', events);
    store.apply('s2', [closed(makeShot('s2', 1)), note('other')]);
    const before = [await store.shots(), await store.sessions()];
    for (let i = 0; i < 3; i++) {
      await store.replaceSession('s1');
      expect((await store.shots()).map(({ id }) => id)).toEqual(['s2-1']);
      store.apply('s1', events);
      expect([await store.shots(), await store.sessions()]).toEqual(before);
    }
    const counts = 'SELECT (SELECT count(*) FROM notes), (SELECT count(*) FROM link_events), (SELECT count(*) FROM channel_seconds)';
    expect(await sql(counts)).toEqual([['2', '1', '1']]);
  });

  it('forgets what waits, and keeps what is applied after the call, whether awaited or not', async () => {
    const calls = fc.array(fc.constantFrom('apply', 'replace', 'flush'), { maxLength: 12 });
    let run = 0;
    await fc.assert(
      fc.asyncProperty(calls, async (steps) => {
        const id = `r${++run}`;
        const pending: Promise<void>[] = [];
        let kept: Shot[] = [];
        steps.forEach((step, number) => {
          if (step === 'replace') {
            pending.push(store.replaceSession(id));
            kept = [];
          } else if (step === 'flush') {
            pending.push(store.flush());
          } else {
            const shot = makeShot(id, number);
            kept.unshift(shot);
            store.apply(id, [closed(shot)]);
          }
        });
        await Promise.all(pending);
        expect(await store.shots({ sessionId: id })).toEqual(kept);
      }),
      { numRuns: 40 },
    );
  });
});

describe('a write that fails', () => {
  it('is told, keeps the rows, hides nothing that is stored, and is made good later', async () => {
    store.apply('s1', [closed(makeShot('s1', 1))]);
    await store.flush();
    // A shot without its number cannot be stored; the types forbid it, which is what makes it a handy fault.
    store.apply('s1', [closed(makeShot('s1', 2)), closed({ ...makeShot('s1', 3), number: null as unknown as number })]);
    await expect(store.flush()).rejects.toThrow(/NOT NULL/);
    expect(store.rowsWaiting).toBe(2);
    expect((await store.shots()).map(({ id }) => id)).toEqual(['s1-1']);
    expect(problems.map(({ code }) => code)).toEqual(['write-failed']);
    store.apply('s1', [closed(makeShot('s1', 3))]);
    await store.flush();
    expect((await store.shots()).map(({ id }) => id)).toEqual(['s1-3', 's1-2', 's1-1']);
  });

  it('at closing says how many rows are not stored', async () => {
    store.apply('s1', [closed({ ...makeShot('s1', 3), number: null as unknown as number })]);
    await store.close();
    expect(problems.at(-1)).toMatchObject({ code: 'not-stored', message: expect.stringContaining('1 rows') });
    expect(() => store.apply('s1', [])).toThrow('closed');
    await expect(store.shots()).rejects.toThrow('closed');
  });
});
