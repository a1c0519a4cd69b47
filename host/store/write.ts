import { BIGINT, DOUBLE, type DuckDBConnection, INTEGER, LIST, listValue, VARCHAR } from '@duckdb/node-api';
import { writeCamera } from './cameras.ts';
import { type ExclusionRow, type SecondRow, SHOT_NUMBERS, type ShotRow } from './rows.ts';
import { TABLES } from './schema.ts';
import type { Batch } from './write-queue.ts';

/** Writes a batch as one transaction: all of it or nothing. */
export async function writeBatch(writer: DuckDBConnection, batch: Batch): Promise<void> {
  await inTransaction(writer, async () => {
    for (const row of batch.sessions) {
      await writer.run('INSERT OR REPLACE INTO sessions VALUES ($1, TRY_CAST($2 AS TIMESTAMP), $3, $4, $5, $6, $2, $7)', [
        row.session,
        row.openedAt,
        row.rig,
        row.site,
        row.projectile,
        row.softwareVersion,
        row.rigSummaryJson,
      ]);
    }
    for (const row of batch.shots) await writeShot(writer, row);
    for (const row of batch.exclusions) await writeExclusion(writer, row);
    for (const row of batch.cameras) await writeCamera(writer, row);
    for (const row of batch.notes) {
      await writer.run(
        'INSERT INTO notes VALUES (?, ?, ?, ?)',
        [row.session, row.atNs, row.shot, row.text],
        [VARCHAR, BIGINT, VARCHAR, VARCHAR],
      );
    }
    for (const row of batch.links) {
      const values = [row.session, row.atNs, row.source, row.change, row.path, row.detail];
      await writer.run('INSERT INTO link_events VALUES (?, ?, ?, ?, ?, ?)', values, [VARCHAR, BIGINT, VARCHAR, VARCHAR, VARCHAR, VARCHAR]);
    }
    if (batch.seconds.length > 0) await appendSeconds(writer, batch.seconds);
  });
}

/** Deletes all that is stored of a session, as one transaction. */
export async function deleteSession(writer: DuckDBConnection, session: string): Promise<void> {
  await inTransaction(writer, async () => {
    for (const table of TABLES) await writer.run(`DELETE FROM ${table} WHERE session = ?`, [session]);
  });
}

const SHOT_TYPES = [
  ...[VARCHAR, VARCHAR, INTEGER, VARCHAR, VARCHAR, VARCHAR, VARCHAR],
  ...Array.from({ length: SHOT_NUMBERS }, () => DOUBLE),
  ...[LIST(VARCHAR), VARCHAR, VARCHAR],
];
const SHOT_MARKS = SHOT_TYPES.map((_, i) => (i === 3 ? 'TRY_CAST(? AS TIMESTAMP)' : '?')).join(', ');

async function writeShot(writer: DuckDBConnection, row: ShotRow): Promise<void> {
  const head = [row.id, row.session, row.number, row.firedAt, row.rig, row.projectile, row.firedBy];
  const values = [...head, ...row.numbers, listValue(row.flags), row.shotJson, row.tracesJson];
  // Types are named, not guessed from the value: an empty list has none, and a whole number would pass as an integer.
  await writer.run(`INSERT OR REPLACE INTO shots VALUES (${SHOT_MARKS})`, values, SHOT_TYPES);
}

async function writeExclusion(writer: DuckDBConnection, { shot, session, excluded, atNs, reason, who }: ExclusionRow): Promise<void> {
  if (!excluded) await writer.run('DELETE FROM shot_exclusions WHERE shot = ?', [shot], [VARCHAR]);
  else
    await writer.run(
      'INSERT OR REPLACE INTO shot_exclusions VALUES (?, ?, ?, ?, ?)',
      [shot, session, atNs, reason, who],
      [VARCHAR, VARCHAR, BIGINT, VARCHAR, VARCHAR],
    );
}

async function appendSeconds(writer: DuckDBConnection, rows: readonly SecondRow[]): Promise<void> {
  const appender = await writer.createAppender('channel_second_parts');
  try {
    for (const row of rows) {
      appender.appendVarchar(row.session);
      appender.appendVarchar(row.channel);
      appender.appendInteger(row.second);
      appender.appendInteger(row.n);
      appender.appendDouble(row.min);
      appender.appendDouble(row.max);
      appender.appendDouble(row.mean);
      appender.endRow();
    }
    appender.flushSync();
  } finally {
    appender.closeSync();
  }
}

async function inTransaction(writer: DuckDBConnection, work: () => Promise<void>): Promise<void> {
  await writer.run('BEGIN');
  try {
    await work();
    await writer.run('COMMIT');
  } catch (error) {
    // Where the rollback fails as well, the first failure is the one that says why.
    await writer.run('ROLLBACK').catch(() => undefined);
    throw error;
  }
}
