/** Every point that a server holds, by queries to it, as `measurement tags field stamp` → value; one that is there twice is told. */

import { readLine } from './read-line.ts';
import { DATABASE, type RealServer } from './real-server.ts';

export interface HeldPoints {
  readonly values: ReadonlyMap<string, number | bigint | string>;
  readonly doubled: number;
}

/** One key a field: VictoriaMetrics keeps each as a series of its own. */
const keyOf = (measurement: string, tags: Readonly<Record<string, string>>, field: string, stamp: bigint | string): string =>
  `${measurement} ${Object.entries(tags)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([key, value]) => `${key}=${value}`)
    .join(',')} ${field} ${stamp}`;

/** What lines say, in the same words. */
export function pointsOfLines(lines: readonly string[]): HeldPoints {
  const values = new Map<string, number | bigint | string>();
  let doubled = 0;
  for (const line of lines) {
    const { measurement, tags, fields, stamp } = readLine(line);
    for (const [field, value] of Object.entries(fields)) {
      const key = keyOf(measurement, tags, field, stamp);
      if (values.has(key)) doubled += 1;
      values.set(key, value);
    }
  }
  return { values, doubled };
}

export function heldBy(server: Pick<RealServer, 'kind' | 'url'>): Promise<HeldPoints> {
  return server.kind === 'victoria-metrics' ? heldByVictoria(server.url) : heldByInflux(server.url);
}

async function heldByVictoria(url: string): Promise<HeldPoints> {
  // A connection that it has shut for idleness meanwhile is found shut only by using it.
  await fetch(`${url}/internal/force_flush`).catch(() => fetch(`${url}/internal/force_flush`));
  const query = new URLSearchParams({ 'match[]': '{__name__!=""}', start: '0', end: '32503680000' });
  const text = await (await fetch(`${url}/api/v1/export?${query}`)).text();
  const values = new Map<string, number>();
  let doubled = 0;
  for (const line of text.split('\n').filter(Boolean)) {
    const {
      metric,
      values: own,
      timestamps,
    } = JSON.parse(line) as {
      metric: Record<string, string>;
      values: number[];
      timestamps: number[];
    };
    const { __name__: name = '', ...tags } = metric;
    for (const [i, value] of own.entries()) {
      const key = keyOf(name, tags, '', String(timestamps[i]));
      if (values.has(key)) doubled += 1;
      values.set(key, value);
    }
  }
  return { values, doubled };
}

/** A name of VictoriaMetrics is measurement and field in one. */
export const asVictoriaHolds = ({ values, doubled }: HeldPoints): HeldPoints => ({
  values: new Map(
    [...values].map(([key, value]) => {
      const [, measurement = '', rest = '', field = '', stamp = ''] = /^(\S+) (.*) (\S+) (\S+)$/s.exec(key) ?? [];
      return [`${measurement}_${field} ${rest}  ${stamp}`, value];
    }),
  ),
  doubled,
});

async function heldByInflux(url: string): Promise<HeldPoints> {
  const ask = async (q: string): Promise<string> =>
    (
      await fetch(`${url}/query?${new URLSearchParams({ db: DATABASE, q, epoch: 'ns' })}`, { headers: { accept: 'application/csv' } })
    ).text();
  const column = (csv: string): string[] =>
    rowsOf(csv)
      .slice(1)
      .map((row) => row[2] ?? '');
  const values = new Map<string, number | bigint | string>();
  let doubled = 0;
  for (const measurement of column(await ask('SHOW MEASUREMENTS'))) {
    const tagKeys = new Set(column(await ask(`SHOW TAG KEYS FROM "${measurement}"`)));
    const kinds = new Map(
      rowsOf(await ask(`SHOW FIELD KEYS FROM "${measurement}"`))
        .slice(1)
        .map((row) => [row[2] ?? '', row[3] ?? '']),
    );
    const [head = [], ...rows] = rowsOf(await ask(`SELECT * FROM "${measurement}"`));
    for (const row of rows) {
      const tags = Object.fromEntries(head.flatMap((name, i) => (tagKeys.has(name) && row[i] !== '' ? [[name, row[i] ?? '']] : [])));
      const stamp = row[head.indexOf('time')] ?? '';
      for (const [i, name] of head.entries()) {
        const kind = kinds.get(name);
        const text = row[i] ?? '';
        if (kind === undefined || text === '') continue;
        const key = keyOf(measurement, tags, name, stamp);
        if (values.has(key)) doubled += 1;
        values.set(key, kind === 'integer' ? BigInt(text) : kind === 'float' ? Number(text) : text);
      }
    }
  }
  return { values, doubled };
}

/** RFC 4180. */
function rowsOf(csv: string): string[][] {
  const rows: string[][] = [];
  let row: string[] = [];
  for (const [, quoted, plain, end] of csv.matchAll(/(?:"((?:[^"]|"")*)"|([^,\n]*))(,|\n|$)/g)) {
    row.push(quoted === undefined ? (plain ?? '') : quoted.replaceAll('""', '"'));
    if (end === ',') continue;
    if (row.length > 1) rows.push(row);
    row = [];
  }
  return rows;
}
