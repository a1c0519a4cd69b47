/** Shots that the crew left out: kept by the store as last said, in whatever order it is told, and shown by every form of the shot table. */
import { DuckDBInstance } from '@duckdb/node-api';
import fc from 'fast-check';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { oneShotLines } from '../../host/cli/shots/one-shot-lines.ts';
import { shotJson } from '../../host/cli/shots/shot-json.ts';
import { shotCsv, shotTable } from '../../host/cli/shots/shot-lines.ts';
import { LiveFeed } from '../../host/serve/index.ts';
import { shotsOf } from '../../host/serve/shot-source.ts';
import { Store, type StoreProblem } from '../../host/store/index.ts';
import { SCHEMA_VERSION } from '../../host/store/schema.ts';
import type { PipelineEvent } from '../../protocol/index.ts';
import { closed, makeShot, session, temporaryFolder } from './store-fixtures.ts';

let folder: ReturnType<typeof temporaryFolder>;
beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(() => folder.remove());

const said = (number: number, excluded: boolean, reason = 'film torn'): PipelineEvent => ({
  type: 'shot-excluded',
  atNs: number * 1e9,
  shotId: `s1-${number}`,
  excluded,
  reason,
  who: 'Ane',
});
const exclusion = (number: number, reason = 'film torn') => ({ atNs: number * 1e9, reason, who: 'Ane' });

test('what was last said of a shot holds, whatever came between: closing, closing anew, writing, opening', async () => {
  const step = fc.oneof(
    fc.record({ number: fc.integer({ min: 1, max: 3 }), excluded: fc.boolean(), reason: fc.string({ minLength: 1 }) }),
    fc.constantFrom('close 1', 'close 2', 'close 3', 'flush', 'reopen'),
  );
  await fc.assert(
    fc.asyncProperty(fc.array(step, { maxLength: 25 }), async (steps) => {
      const own = temporaryFolder();
      let store = await Store.open(`${own.path}/store.duckdb`);
      try {
        const expected = new Map<number, string | undefined>();
        for (const each of steps) {
          if (typeof each !== 'string') {
            store.apply('s1', [said(each.number, each.excluded, each.reason)]);
            expected.set(each.number, each.excluded ? each.reason : undefined);
          } else if (each === 'flush') await store.flush();
          else if (each === 'reopen') {
            await store.close();
            store = await Store.open(`${own.path}/store.duckdb`);
          } else store.apply('s1', [closed(makeShot('s1', Number(each.at(-1))))]);
        }
        store.apply(
          's1',
          [1, 2, 3].map((number) => closed(makeShot('s1', number))),
        );
        const shots = await store.shots();
        expect(shots.map((shot) => shot.exclusion?.reason)).toEqual([3, 2, 1].map((number) => expected.get(number)));
      } finally {
        await store.close();
        own.remove();
      }
    }),
    { numRuns: 12 },
  );
}, 60_000);

test('a session that is replaced loses them, and another does not', async () => {
  const store = await Store.open(`${folder.path}/store.duckdb`);
  store.apply('s1', [closed(makeShot('s1', 1)), said(1, true)]);
  store.apply('s2', [closed(makeShot('s2', 1)), { ...said(1, true), shotId: 's2-1' } as PipelineEvent]);
  await store.flush();
  await store.replaceSession('s1');
  store.apply('s1', [closed(makeShot('s1', 1))]);
  expect((await store.shot('s1-1'))?.exclusion).toBeUndefined();
  expect((await store.shot('s2-1'))?.exclusion).toEqual(exclusion(1));
  await store.close();
});

test('a store of the schema before is set aside with one sentence that says how to fill the new one', async () => {
  const file = `${folder.path}/store.duckdb`;
  const older = await DuckDBInstance.create(file);
  const connection = await older.connect();
  await connection.run('CREATE TABLE meta AS SELECT 2 AS schema_version');
  connection.closeSync();
  older.closeSync();
  const problems: StoreProblem[] = [];
  const store = await Store.open(file, { onProblem: (problem) => problems.push(problem) });
  expect(problems.map(({ message }) => message)).toEqual([
    `The store ${file} was set aside as ${file}.set-aside (its schema is 2, this version needs ${SCHEMA_VERSION}) and a new one made: run "postern rebuild" to fill it from the journals.`,
  ]);
  await store.close();
});

test('the feed of a running host tells it too, also of a shot that is told anew', async () => {
  const feed = new LiveFeed({ mode: 'live' });
  for (const event of [session('s1', '2031-05-04T09:00:00Z'), closed(makeShot('s1', 1)), said(1, true), closed(makeShot('s1', 1))])
    feed.accept(event);
  expect((await shotsOf(feed, undefined).shot('s1-1'))?.exclusion).toEqual(exclusion(1));
  feed.accept(said(1, false));
  expect((await shotsOf(feed, undefined).shot('s1-1'))?.exclusion).toBeUndefined();
});

test('table, CSV, JSON and the whole of one shot say it; a table of counted shots has no column for it', () => {
  const counted = makeShot('s1', 1);
  const out = { ...makeShot('s1', 2), exclusion: exclusion(2, '=film, "torn"') };
  expect(shotTable([counted]).join('\n')).not.toContain('Left out');
  expect(shotTable([out, counted]).map((line) => /Left out|=film, "torn" \(Ane\)/.exec(line)?.[0])).toEqual([
    'Left out',
    '=film, "torn" (Ane)',
    undefined,
  ]);
  const [header = '', first = '', second = ''] = shotCsv([out, counted]);
  expect(header).toMatch(/,excluded,excludedBecause,excludedBy$/);
  expect(first).toMatch(/,true,"'=film, ""torn""",Ane$/);
  expect(second).toMatch(/,false,,$/);
  expect([out, counted].map((shot) => shotJson(shot).excluded)).toEqual([{ because: '=film, "torn"', by: 'Ane' }, null]);
  expect(oneShotLines(out, undefined)).toContain('Left out of every mean and fit by Ane: =film, "torn"');
});
