/** docs/store.md names the tables and columns that there are, and each of its questions can be asked. */
import { readFileSync } from 'node:fs';
import { DuckDBInstance } from '@duckdb/node-api';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { Store } from '../../host/store/index.ts';
import { closed, makeShot, note, samples, session, temporaryFolder } from './store-fixtures.ts';

const page = readFileSync(new URL('../../docs/store.md', import.meta.url), 'utf8');
let folder: ReturnType<typeof temporaryFolder>;
let instance: DuckDBInstance;

beforeAll(async () => {
  folder = temporaryFolder();
  const store = await Store.open(`${folder.path}/store.duckdb`);
  const id = '20260302T090000Z';
  store.apply(id, [session(id, '2026-03-02T09:00:00Z'), note('calm'), closed(makeShot(id, 1))]);
  for (let second = 5; second < 70; second++) store.apply(id, [samples(second * 1e9, [1e5, 2e5])]);
  await store.close();
  instance = await DuckDBInstance.create(`${folder.path}/store.duckdb`, { access_mode: 'READ_ONLY' });
});
afterAll(() => {
  instance.closeSync();
  folder.remove();
});

async function ask(sql: string): Promise<readonly (readonly unknown[])[]> {
  const connection = await instance.connect();
  try {
    return (await connection.runAndReadAll(sql)).getRowsJS();
  } finally {
    connection.closeSync();
  }
}

test('every question of the page has an answer', async () => {
  const questions = [...page.matchAll(/```sql\n([\s\S]*?)```/g)].map(([, sql]) => sql ?? '');
  expect(questions.length).toBeGreaterThanOrEqual(5);
  const answers = [];
  for (const sql of questions) answers.push((await ask(sql)).length);
  expect(answers.slice(0, 3)).toEqual([12, 2, 1]);
});

test('the page names every table and view with all its columns', async () => {
  const found = new Map<string, string[]>();
  const columns = await ask('SELECT table_name, column_name FROM duckdb_columns() WHERE NOT internal ORDER BY table_name, column_index');
  for (const [table, column] of columns) found.set(String(table), [...(found.get(String(table)) ?? []), String(column)]);
  const rows = page.split('\n').filter((line) => line.startsWith('| `'));
  for (const [table, names] of found) {
    // Parts of summaries are what their views add up.
    if (table.endsWith('_parts') || table === 'meta') continue;
    const row = rows.find((line) => line.split('|')[1]?.includes(`\`${table}\``));
    expect(row, `a row of ${table}`).toBeDefined();
    for (const name of names) expect(row, `${table}.${name}`).toContain(`\`${name}\``);
  }
});
