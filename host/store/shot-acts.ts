/** What was done to a shot, from the events that the store keeps. The journals have the records themselves. */
import type { DuckDBConnection } from '@duckdb/node-api';
import type { StoredAct } from '../../protocol/index.ts';

/** The newest. */
const ACTS_MAX = 500;

/** Told of a shot; by whichever session. */
const OF_SHOT = "('note', 'shot-excluded', 'shot-weighed', 'camera-act', 'track-withdrawn')";

/** @param which  of the events e with their sessions s */
const sql = (which: string): string => `SELECT session, at_utc, event FROM (
    SELECT e.rowid AS place, e.session, e.at_ns, e.event,
      s.origin_utc + to_microseconds(CAST(e.at_ns / 1000 AS BIGINT)) AS utc,
      coalesce(strftime(s.origin_utc + to_microseconds(CAST(e.at_ns / 1000 AS BIGINT)), '%Y-%m-%dT%H:%M:%S.%fZ'), '') AS at_utc
    FROM events e LEFT JOIN sessions s ON s.session = e.session
    WHERE ${which}
    ORDER BY utc DESC NULLS LAST, at_ns DESC, place DESC LIMIT ${ACTS_MAX}
  ) ORDER BY utc NULLS FIRST, at_ns, place`;

const ON_SHOT = sql(`(e.about = $1 AND e.type IN ${OF_SHOT})
      OR (e.type = 'adjusted' AND (e.session, e.at_ns) IN (
        SELECT a.session, a.at_ns FROM events a JOIN shots ON shots.id = $1 AND a.session = shots.session
        WHERE a.type = 'adjusted' AND a.at_ns <= CAST(shots.shot ->> '$.firedAtNs' AS DOUBLE)
      ))`);

const BY_LATER_SESSIONS = sql(`e.session <> $1 AND e.type IN ${OF_SHOT} AND e.about IN (SELECT id FROM shots WHERE session = $1)`);

/** Oldest first. @param id  of the shot; one that there is not has none */
export const readShotActs = (reader: DuckDBConnection, id: string): Promise<readonly StoredAct[]> => read(reader, ON_SHOT, id);

/** What other sessions did to the shots of this one, oldest first. */
export const readLaterActs = (reader: DuckDBConnection, sessionId: string): Promise<readonly StoredAct[]> =>
  read(reader, BY_LATER_SESSIONS, sessionId);

async function read(reader: DuckDBConnection, text: string, about: string): Promise<readonly StoredAct[]> {
  const rows = await reader.runAndReadAll(text, [about]);
  return rows.getRowsJS().map(([session, at, event]) => ({
    session: String(session),
    at: String(at),
    event: JSON.parse(String(event)) as StoredAct['event'],
  }));
}
