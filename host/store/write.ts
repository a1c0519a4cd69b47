import { BIGINT, DOUBLE, type DuckDBConnection, INTEGER, LIST, listValue, VARCHAR } from '@duckdb/node-api';
import { writeCamera } from './cameras.ts';
import { type ExclusionRow, SHOT_NUMBERS, type ShotRow } from './rows.ts';
import { type BlockNumbers, writeWindows } from './samples/write-windows.ts';
import { COUNTS, TABLES } from './schema.ts';
import type { Batch } from './write-queue.ts';

/**
 * Writes a batch as one transaction: all of it or nothing.
 * @param blocks  numbers the blocks of counts; what a batch that failed has used up is not used again
 */
export async function writeBatch(writer: DuckDBConnection, batch: Batch, blocks: BlockNumbers): Promise<void> {
  await inTransaction(writer, async () => {
    for (const row of batch.sessions) {
      await writer.run(SESSION_SQL, [
        row.session,
        row.openedAt,
        row.rig,
        row.site,
        row.projectile,
        row.softwareVersion,
        row.rigSummaryJson,
        row.originUtcUs,
      ]);
    }
    for (const row of batch.shots) await writeShot(writer, row);
    for (const row of batch.exclusions) await writeExclusion(writer, row);
    for (const row of batch.cameras) await writeCamera(writer, row);
    for (const row of batch.events) {
      const values = [row.session, row.atNs, row.type, row.about, row.eventJson];
      await writer.run('INSERT INTO events VALUES (?, ?, ?, ?, ?)', values, [VARCHAR, BIGINT, VARCHAR, VARCHAR, VARCHAR]);
    }
    if (batch.windows.length > 0) await writeWindows(writer, batch.windows, blocks);
  });
}

/** Deletes all that is stored of a session, as one transaction. */
export async function deleteSession(writer: DuckDBConnection, session: string): Promise<void> {
  await inTransaction(writer, async () => {
    await writer.run(`DELETE FROM ${COUNTS} WHERE block IN (SELECT block FROM sample_blocks WHERE session = ?)`, [session]);
    for (const table of TABLES) await writer.run(`DELETE FROM ${table} WHERE session = ?`, [session]);
  });
}

const SESSION_SQL = `INSERT OR REPLACE INTO sessions
  VALUES ($1, TRY_CAST($2 AS TIMESTAMP), make_timestamp(CAST($8 AS BIGINT)), $3, $4, $5, $6, $2, $7)`;

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
