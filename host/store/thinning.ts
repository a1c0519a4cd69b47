/**
 * What of old sessions may go from a store, as its owner chooses: samples first, then finer summaries. Shots and events
 * stay, and so do the journals, from which a rebuild brings all of it back.
 */
import type { DuckDBConnection } from '@duckdb/node-api';
import { literal } from './export/export-query.ts';
import { KEEPS, type Keep } from './keeps.ts';
import { COUNTS } from './schema.ts';

export interface ThinningPlan {
  readonly keep: Keep;
  /** Those of which something would go, oldest first. */
  readonly sessions: readonly string[];
  /** When the oldest and the newest of them were opened. */
  readonly openedFrom: string;
  readonly openedTo: string;
  readonly samples: number;
  /** Rows of summaries. */
  readonly summaries: number;
}

const SUMMARIES: readonly (readonly [table: string, goesWith: Keep])[] = [
  ['channel_tenth_parts', 'seconds'],
  ['channel_second_parts', 'minutes'],
  ['channel_ten_parts', 'minutes'],
  ['channel_minute_parts', 'shots'],
];

const summariesGoing = (keep: Keep): readonly string[] =>
  SUMMARIES.filter(([, goesWith]) => KEEPS.indexOf(keep) >= KEEPS.indexOf(goesWith)).map(([table]) => table);

/** @param beforeUtc  ISO 8601: of sessions that were opened before; one that does not say when it was, is kept */
export async function planThinning(reader: DuckDBConnection, beforeUtc: string, keep: Keep): Promise<ThinningPlan> {
  const old = `session IN (SELECT session FROM sessions WHERE opened_at < CAST(${literal(beforeUtc)} AS TIMESTAMP))`;
  const tables = summariesGoing(keep);
  const parts = [
    `SELECT session, CAST(sum(n) AS DOUBLE) AS samples, 0 AS summaries FROM sample_blocks WHERE ${old} GROUP BY session`,
    `SELECT session, CAST(count(*) AS DOUBLE), 0 FROM sample_readings WHERE ${old} GROUP BY session`,
    ...tables.map((table) => `SELECT session, 0, count(*) FROM ${table} WHERE ${old} GROUP BY session`),
  ];
  const rows = await reader.runAndReadAll(
    `SELECT a.session, any_value(s.opened_at_text), CAST(sum(samples) AS DOUBLE), CAST(sum(summaries) AS DOUBLE)
     FROM (${parts.join(' UNION ALL ')}) a JOIN sessions s ON s.session = a.session
     GROUP BY a.session ORDER BY any_value(s.opened_at), a.session`,
  );
  const found = rows.getRowsJS();
  return {
    keep,
    sessions: found.map(([session]) => String(session)),
    openedFrom: String(found.at(0)?.[1] ?? ''),
    openedTo: String(found.at(-1)?.[1] ?? ''),
    samples: found.reduce((sum, row) => sum + Number(row[2]), 0),
    summaries: found.reduce((sum, row) => sum + Number(row[3]), 0),
  };
}

/** As one transaction: all of it or nothing. The room that it leaves in the file is used again by what comes next. */
export async function carryOutThinning(writer: DuckDBConnection, { sessions, keep }: ThinningPlan): Promise<void> {
  if (sessions.length === 0) return;
  const which = `session IN (${sessions.map(literal).join(', ')})`;
  await writer.run('BEGIN');
  try {
    await writer.run(`DELETE FROM ${COUNTS} WHERE block IN (SELECT block FROM sample_blocks WHERE ${which})`);
    for (const table of ['sample_blocks', 'sample_readings', 'calibration_values', ...summariesGoing(keep)]) {
      await writer.run(`DELETE FROM ${table} WHERE ${which}`);
    }
    await writer.run('COMMIT');
  } catch (error) {
    // Where the rollback fails as well, the first failure is the one that says why.
    await writer.run('ROLLBACK').catch(() => undefined);
    throw error;
  }
  await writer.run('CHECKPOINT');
}
