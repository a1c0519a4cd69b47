/** What is taken out of a store and read by programs that know nothing of it is what is in it. */
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { DuckDBInstance } from '@duckdb/node-api';
import { parse } from 'csv-parse/sync';
import { asyncBufferFromFile, parquetReadObjects } from 'hyparquet';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type ExportOptions, exportData } from '../../host/cli/export/export.ts';
import { Store } from '../../host/store/index.ts';
import type { PipelineEvent, SamplesEvent, SessionEvent } from '../../protocol/index.ts';
import { readLine } from '../support/series/read-line.ts';
import { closed, link, makeShot, note, rig, session, temporaryFolder } from './store-fixtures.ts';

let folder: ReturnType<typeof temporaryFolder>;
/** Of s1, as the store itself tells them. */
let samples: readonly Stored[];

interface Stored {
  readonly channel: string;
  readonly stream: string;
  readonly atNs: bigint;
  readonly valueSi: number;
  readonly count: number | null;
}

/** UTC ns at session time 0. */
const ORIGIN_NS = 1_935_651_600_123_457_000n;

const opened = (id: string): SessionEvent => {
  const [pressure] = rig.channels;
  if (!pressure) throw new Error('the fixture has no channel');
  const channels = [pressure, { ...pressure, name: 'airTemperature', measures: 'temperature', unit: 'K' } as const];
  return { ...session(id, '2031-05-04T09:00:00.123457Z'), rig: { ...rig, channels } };
};

const block = (channel: string, fromNs: number, extra: Partial<SamplesEvent> = {}): SamplesEvent => {
  const counts = Array.from({ length: 50 }, (_, i) => 9_000 + ((i * 13) % 29));
  const addedSi = 101_325.2;
  const valuesSi = counts.map((count) => -51_713.2 + count * 77.819_24 + addedSi);
  return {
    type: 'samples',
    atNs: fromNs,
    channel,
    stream: 'slow',
    fromNs,
    periodNs: 1e6 * (1 + 3e-6),
    valuesSi,
    counts,
    addedSi,
    ...extra,
  };
};

const alone = (channel: string, fromNs: number, value: number): SamplesEvent => ({
  ...{ type: 'samples', atNs: fromNs, channel, stream: 'slow', fromNs, periodNs: 1e9 },
  valuesSi: [value],
});

function eventsOf(id: string): PipelineEvent[] {
  return [
    opened(id),
    link('running'),
    ...Array.from({ length: 60 }, (_, i) => block('reservoirPressure', 55e9 + Math.round(i * 50e6 * (1 + 3e-6)))),
    ...Array.from({ length: 9 }, (_, i) => alone('airTemperature', 52e9 + i * 1_000_000_123, 288.15 + i / 7)),
    block('reservoirPressure', 70e9, { stream: 'burst', periodNs: 20_000 }),
    note('a "quoted", note;\nof two lines', `${id}-1`),
    closed(makeShot(id, 1)),
    closed(makeShot(id, 2, { flags: ['no-trigger', 'gate-doubtful'] })),
    { type: 'shot-excluded', atNs: 80e9, shotId: `${id}-2`, excluded: true, reason: 'film, torn', who: 'Rig lead' },
  ];
}

beforeAll(async () => {
  folder = temporaryFolder();
  const store = await Store.open(`${folder.path}/store.duckdb`);
  for (const id of ['s1', 's2']) store.apply(id, eventsOf(id));
  await store.close();
  const instance = await DuckDBInstance.create(`${folder.path}/store.duckdb`, { access_mode: 'READ_ONLY' });
  const connection = await instance.connect();
  const rows = await connection.runAndReadAll(
    "SELECT channel, stream, at_ns, value_si, count FROM samples WHERE session = 's1' ORDER BY at_ns, channel, stream",
  );
  samples = rows.getRowsJS().map(([channel, stream, atNs, valueSi, count]) => ({
    channel: String(channel),
    stream: String(stream),
    atNs: BigInt(String(atNs)),
    valueSi: Number(valueSi),
    count: count === null ? null : Number(count),
  }));
  connection.closeSync();
  instance.closeSync();
});
afterAll(() => folder.remove());

const options = (rest: Partial<ExportOptions>): ExportOptions => ({ data: folder.path, as: 'csv', overwrite: true, ...rest });
const out = (name: string): string => `${folder.path}/${name}`;
const csv = (name: string): Record<string, string>[] => parse(readFileSync(out(name)), { columns: true, record_delimiter: '\r\n' });
const parquet = async (name: string): Promise<Record<string, unknown>[]> =>
  parquetReadObjects({ file: await asyncBufferFromFile(out(name)) });
const sorted = (all: readonly Stored[]): Stored[] =>
  [...all].sort(
    (a, b) => Number(a.atNs - b.atNs) || (a.channel < b.channel ? -1 : a.channel > b.channel ? 1 : a.stream < b.stream ? -1 : 1),
  );
const utc = (atNs: bigint): string => {
  const ns = ORIGIN_NS + atNs;
  return `${new Date(Number(ns / 1_000_000n)).toISOString().slice(0, 19)}.${String(ns % 1_000_000_000n).padStart(9, '0')}Z`;
};

test('there are samples to compare', () => {
  expect(samples.length).toBe(60 * 50 + 9 + 50);
  expect(new Set(samples.map(({ valueSi }) => valueSi)).size).toBeGreaterThan(30);
});

test('samples as CSV, read by another library: by RFC 4180, each value to the bit under a header with its unit', async () => {
  await exportData('samples', options({ session: ['s1'], out: out('samples.csv') }));
  const rows = csv('samples.csv');
  expect(Object.keys(rows[0] ?? {})).toEqual([
    ...['session', 'rig', 'channel', 'stream', 'session time (ns)', 'time (UTC)', 'pressure (Pa)', 'temperature (K)', 'count (1)'],
  ]);
  expect(rows.map((row) => [row.session, row.rig, row['time (UTC)']])).toEqual(samples.map(({ atNs }) => ['s1', 'Heron', utc(atNs)]));
  const found = rows.map((row): Stored => {
    const [filled, empty] = row.channel === 'airTemperature' ? ['temperature (K)', 'pressure (Pa)'] : ['pressure (Pa)', 'temperature (K)'];
    expect(row[empty]).toBe('');
    const count = row['count (1)'] === '' ? null : Number(row['count (1)']);
    return {
      channel: row.channel ?? '',
      stream: row.stream ?? '',
      atNs: BigInt(row['session time (ns)'] ?? ''),
      valueSi: Number(row[filled]),
      count,
    };
  });
  expect(found).toEqual(samples);
});

test('samples as Parquet, read by another library', async () => {
  await exportData('samples', options({ as: 'parquet', session: ['s1'], out: out('samples.parquet') }));
  const rows = await parquet('samples.parquet');
  const found = rows.map(({ channel, stream, at_ns, value_si, count }) => ({
    ...{ channel: String(channel), stream: String(stream), atNs: at_ns as bigint, valueSi: value_si as number },
    count: (count as number | null | undefined) ?? null,
  }));
  expect(sorted(found)).toEqual(samples);
  for (const { channel, unit, rig: name, session: id } of rows) {
    expect([unit, name, id]).toEqual([channel === 'airTemperature' ? 'K' : 'Pa', 'Heron', 's1']);
  }
});

test('samples as line protocol, read by a strict reader of its grammar', async () => {
  await exportData('samples', options({ as: 'lines', session: ['s1'], out: out('samples.lp') }));
  const lines = readFileSync(out('samples.lp'), 'utf8').split('\n').slice(0, -1).map(readLine);
  expect(lines.every(({ measurement, tags }) => measurement === 'sample' && tags.rig === 'Heron')).toBe(true);
  const found = lines.map(({ tags, fields, stamp }) => [tags.channel, tags.stream, stamp - ORIGIN_NS, fields.value]);
  expect(found).toEqual(samples.map(({ channel, stream, atNs, valueSi }) => [channel, stream, atNs, valueSi]));
});

test('only what was asked for: by session, channel and span', async () => {
  const chosen = options({ channel: ['airTemperature'], from: 53e9, to: 56e9, out: out('few.csv') });
  await exportData('samples', chosen);
  const rows = csv('few.csv');
  const expected = samples.filter(({ channel, atNs }) => channel === 'airTemperature' && atNs >= 53_000_000_000n && atNs < 56_000_000_000n);
  expect(expected.length).toBe(3);
  expect(rows.map((row) => [row.session, row['session time (ns)']])).toEqual(
    ['s1', 's2'].flatMap((id) => expected.map(({ atNs }) => [id, String(atNs)])),
  );
  expect(Object.keys(rows[0] ?? {})).not.toContain('pressure (Pa)');
  await exportData('samples', { ...chosen, as: 'parquet', out: out('few.parquet') });
  expect((await parquet('few.parquet')).length).toBe(6);
});

test('shots and events in each form', async () => {
  await exportData('shots', options({ out: out('shots.csv') }));
  const shots = csv('shots.csv');
  expect(shots.map((row) => row.id).sort()).toEqual(['s1-1', 's1-2', 's2-1', 's2-2']);
  await exportData('shots', options({ as: 'parquet', session: ['s1'], out: out('shots.parquet') }));
  const columns = await parquet('shots.parquet');
  const truth = makeShot('s1', 2);
  const second = columns.find(({ id }) => id === 's1-2');
  expect(second?.muzzle_velocity_mps).toBe(truth.muzzleVelocityMps?.value);
  expect(second?.flags).toEqual(['no-trigger', 'gate-doubtful']);
  expect([second?.excluded_because, second?.excluded_by]).toEqual(['film, torn', 'Rig lead']);
  await exportData('shots', options({ as: 'lines', session: ['s1'], out: out('shots.lp') }));
  const lines = readFileSync(out('shots.lp'), 'utf8').split('\n').slice(0, -1).map(readLine);
  const told = lines.find(({ measurement, tags }) => measurement === 'shot' && tags.shot === 's1-2');
  expect(told?.fields.muzzle_velocity_mps).toBe(truth.muzzleVelocityMps?.value);
  expect(told?.stamp).toBe(ORIGIN_NS + BigInt(truth.firedAtNs));

  const expected = eventsOf('s1')
    .filter(({ type }) => ['link', 'note', 'shot-excluded'].includes(type))
    .sort((a, b) => a.atNs - b.atNs);
  await exportData('events', options({ session: ['s1'], out: out('events.csv') }));
  expect(csv('events.csv').map((row) => JSON.parse(row['event (JSON)'] ?? ''))).toEqual(expected);
  await exportData('events', options({ as: 'parquet', session: ['s1'], out: out('events.parquet') }));
  const byTime = (await parquet('events.parquet')).sort((a, b) => Number((a.at_ns as bigint) - (b.at_ns as bigint)));
  expect(byTime.map(({ event }) => JSON.parse(String(event)))).toEqual(expected);
  await exportData('events', options({ as: 'lines', session: ['s1'], out: out('events.lp') }));
  const events = readFileSync(out('events.lp'), 'utf8').split('\n').slice(0, -1).map(readLine);
  expect(events.map(({ measurement }) => measurement)).toEqual(['link', 'note', 'shot_exclusion']);
});

test('what cannot be is said in one sentence, and what there is stays', async () => {
  writeFileSync(out('mine.csv'), 'mine');
  await expect(exportData('shots', options({ out: out('mine.csv'), overwrite: false }))).rejects.toThrow(
    /mine\.csv is there already; .*--overwrite/,
  );
  expect(readFileSync(out('mine.csv'), 'utf8')).toBe('mine');
  await expect(exportData('shots', options({ as: 'parquet' }))).rejects.toThrow(/--out FILE/);
  await expect(exportData('samples', options({ session: ["s9' OR true --"], out: out('no.csv') }))).rejects.toThrow(/no session s9/);
  await expect(exportData('samples', options({ channel: ['resevoir'], out: out('no.csv') }))).rejects.toThrow(
    /resevoir; there are airTemperature, reservoirPressure/,
  );
  await expect(exportData('samples', options({ from: 5, to: 5, out: out('no.csv') }))).rejects.toThrow(/--from must be before --to/);
  await expect(exportData('samples', options({ as: 'parquet', out: out('nowhere/at.parquet') }))).rejects.toThrow(
    /nowhere\/at\.parquet cannot be written/,
  );
  await expect(exportData('shots', options({ data: out('empty'), out: out('no.csv') }))).rejects.toThrow(/no store/);
  expect(existsSync(out('no.csv'))).toBe(false);
  expect(existsSync(out('no.csv.part'))).toBe(false);
});
