/** Samples and events in the order of time, in slices: whatever their number, no more than a slice is in memory. */
import { type DuckDBConnection, DuckDBTimestampNanosecondsValue, type DuckDBValue } from '@duckdb/node-api';
import type { Measure, SessionNs } from '../../../protocol/index.ts';
import { type ExportQuery, exportSql, literal } from './export-query.ts';

export interface ExportedSample {
  readonly session: string;
  readonly rig: string | undefined;
  readonly channel: string;
  readonly stream: 'slow' | 'burst';
  readonly atNs: SessionNs;
  /** undefined where the session does not say when it was opened. */
  readonly utcNs: bigint | undefined;
  readonly valueSi: number;
  readonly unit: string | undefined;
  /** undefined where the number came by itself. */
  readonly count: number | undefined;
}

export interface ExportedEvent {
  readonly session: string;
  readonly rig: string | undefined;
  readonly atNs: SessionNs;
  readonly utcNs: bigint | undefined;
  readonly type: string;
  readonly about: string;
  readonly eventJson: string;
}

/** A channel that has samples. */
export interface StoredChannel {
  readonly session: string;
  readonly channel: string;
  /** undefined where the session's rig does not know it. */
  readonly measures: Measure | undefined;
}

/** Session by session, in the order of their names; within one in the order of time, then of channels. */
export async function* exportSamples(
  reader: DuckDBConnection,
  query: Omit<ExportQuery, 'what'>,
): AsyncGenerator<readonly ExportedSample[]> {
  for await (const rows of slices(reader, { ...query, what: 'samples' }, 'at_ns, channel, stream')) {
    yield rows.map(([session, rig, channel, stream, atNs, atUtc, valueSi, unit, count]) => ({
      session: String(session),
      rig: textOf(rig),
      channel: String(channel),
      stream: stream === 'burst' ? 'burst' : 'slow',
      atNs: Number(atNs),
      utcNs: nsOf(atUtc),
      valueSi: Number(valueSi),
      unit: textOf(unit),
      count: count === null ? undefined : Number(count),
    }));
  }
}

export async function* exportEvents(reader: DuckDBConnection, query: Omit<ExportQuery, 'what'>): AsyncGenerator<readonly ExportedEvent[]> {
  for await (const rows of slices(reader, { ...query, what: 'events' }, 'at_ns')) {
    yield rows.map(([session, rig, atNs, atUtc, type, about, event]) => ({
      session: String(session),
      rig: textOf(rig),
      atNs: Number(atNs),
      utcNs: nsOf(atUtc),
      type: String(type),
      about: String(about),
      eventJson: String(event),
    }));
  }
}

export async function storedChannels(reader: DuckDBConnection): Promise<readonly StoredChannel[]> {
  const rows = await reader.runAndReadAll(
    `SELECT a.session, a.channel, u.measures FROM
       (SELECT DISTINCT session, channel FROM sample_blocks UNION SELECT DISTINCT session, channel FROM sample_readings) a
     LEFT JOIN channel_units u ON u.session = a.session AND u.channel = a.channel ORDER BY a.session, a.channel`,
  );
  return rows.getRowsJS().map(([session, channel, measures]) => ({
    session: String(session),
    channel: String(channel),
    measures: measures === null ? undefined : (String(measures) as Measure),
  }));
}

const textOf = (value: DuckDBValue | undefined): string | undefined => (typeof value === 'string' ? value : undefined);
const nsOf = (value: DuckDBValue | undefined): bigint | undefined =>
  value instanceof DuckDBTimestampNanosecondsValue ? value.nanos : undefined;

/** Eight channels at 1 kHz: half a million rows to sort at a time. */
const SLICE_NS = 60e9;

async function* slices(reader: DuckDBConnection, query: ExportQuery, order: string): AsyncGenerator<readonly DuckDBValue[][]> {
  const { fromNs = 0, toNs = Number.MAX_SAFE_INTEGER } = query;
  for (const { session, firstNs, lastNs } of await spans(reader, query)) {
    const end = Math.min(toNs, lastNs + 1);
    for (let at = Math.max(fromNs, Math.floor(firstNs / SLICE_NS) * SLICE_NS); at < end; ) {
      const next = Math.min(end, (Math.floor(at / SLICE_NS) + 1) * SLICE_NS);
      const slice = exportSql({ ...query, sessions: [session], fromNs: at, toNs: next });
      const found = await reader.stream(`SELECT * FROM (${slice}) ORDER BY ${order}`);
      for (let chunk = await found.fetchChunk(); chunk && chunk.rowCount > 0; chunk = await found.fetchChunk()) yield chunk.getRows();
      at = next;
    }
  }
}

interface SessionSpan {
  readonly session: string;
  readonly firstNs: number;
  readonly lastNs: number;
}

async function spans(reader: DuckDBConnection, { what, sessions }: ExportQuery): Promise<readonly SessionSpan[]> {
  const which = sessions === undefined ? 'true' : `session IN (${[...sessions, ''].map(literal).join(', ')})`;
  const parts =
    what === 'events'
      ? 'SELECT session, at_ns AS a, at_ns AS b FROM events'
      : `SELECT session, from_ns AS a, from_ns + CAST(ceil(n * period_ns) AS BIGINT) AS b FROM sample_blocks
         UNION ALL SELECT session, at_ns, at_ns FROM sample_readings`;
  const sql = `SELECT session, CAST(min(a) AS DOUBLE), CAST(max(b) AS DOUBLE) FROM (${parts}) WHERE ${which} GROUP BY session ORDER BY session`;
  return (await reader.runAndReadAll(sql)).getRowsJS().map(([session, a, b]) => ({
    session: String(session),
    firstNs: Number(a),
    lastNs: Number(b),
  }));
}
