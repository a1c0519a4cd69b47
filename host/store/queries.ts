import type { DuckDBConnection, DuckDBValue } from '@duckdb/node-api';
import { type PressureTrace, type RigSummary, type Shot, withCamerasAsked } from '../../protocol/index.ts';
import { CAMERAS_COLUMN, camerasOf } from './cameras.ts';

export interface ShotQuery {
  readonly sessionId?: string;
  readonly rig?: string;
  /** 1 to 10 000; default 200. */
  readonly limit?: number;
  /** ISO 8601: fired at this time or later. */
  readonly since?: string;
  readonly flags?: 'clean' | 'flagged';
  /** false: `traces` is left empty, which is much less to read. Default true. */
  readonly traces?: boolean;
}

export interface StoredSession {
  readonly id: string;
  readonly openedAt: string;
  /** UTC at session time 0, µs; undefined where that is not known. */
  readonly originUtcUs: bigint | undefined;
  readonly rig: RigSummary;
  readonly softwareVersion: string;
  readonly shots: number;
  readonly shotsFlagged: number;
}

export interface ChannelQuery {
  readonly sessionId: string;
  readonly channel: string;
  /** Whole seconds of session time, both included. Default: the session's whole span. */
  readonly fromSecond?: number;
  readonly toSecond?: number;
}

/** SI, over the samples of the slow stream. */
export interface ChannelSecond {
  readonly second: number;
  readonly n: number;
  readonly min: number;
  readonly max: number;
  readonly mean: number;
}

const SHOTS_DEFAULT = 200;
const SHOTS_MAX = 10_000;
/** Two days; a longer span is cut at its end. */
const SECONDS_MAX = 172_800;

/**
 * Newest first.
 * @throws RangeError for a limit or a time that is none
 */
export async function readShots(reader: DuckDBConnection, query: ShotQuery): Promise<readonly Shot[]> {
  const { where, values } = shotFilter(query);
  const rows = await reader.runAndReadAll(`SELECT ${shotColumns(query.traces ?? true)} FROM ${SHOTS} ${where}`, values);
  return rows.getRowsJS().map(shotOf);
}

/** Which shots, in which order and how many, over the table `shots`. @throws RangeError for a limit or a time that is none */
export function shotFilter(query: Omit<ShotQuery, 'traces'>): { readonly where: string; readonly values: DuckDBValue[] } {
  const { limit = SHOTS_DEFAULT } = query;
  if (!(Number.isInteger(limit) && limit >= 1 && limit <= SHOTS_MAX)) throw new RangeError(`limit ${limit}: must be 1 to ${SHOTS_MAX}`);
  const wheres: string[] = [];
  const values: DuckDBValue[] = [];
  const where = (condition: string, value: string | undefined) => {
    if (value === undefined) return;
    wheres.push(condition);
    values.push(value);
  };
  where('shots.session = ?', query.sessionId);
  where('rig = ?', query.rig);
  where('fired_at >= CAST(? AS TIMESTAMP)', query.since === undefined ? undefined : utcText(query.since));
  if (query.flags !== undefined) wheres.push(query.flags === 'clean' ? 'len(flags) = 0' : 'len(flags) > 0');
  const filter = wheres.length === 0 ? '' : `WHERE ${wheres.join(' AND ')}`;
  return { where: `${filter} ORDER BY fired_at DESC NULLS LAST, number DESC, id DESC LIMIT ?`, values: [...values, limit] };
}

export async function readShot(reader: DuckDBConnection, id: string): Promise<Shot | undefined> {
  const rows = await reader.runAndReadAll(`SELECT ${shotColumns(true)} FROM ${SHOTS} WHERE id = ?`, [id]);
  const row = rows.getRowsJS()[0];
  return row && shotOf(row);
}

/** Newest first. */
export async function readSessions(reader: DuckDBConnection): Promise<readonly StoredSession[]> {
  const rows = await reader.runAndReadAll(
    `SELECT s.session, opened_at_text, rig_summary, software_version, coalesce(n, 0), coalesce(flagged, 0),
       CAST(epoch_us(s.origin_utc) AS VARCHAR)
     FROM sessions s LEFT JOIN (
       SELECT session, CAST(count(*) AS INTEGER) AS n, CAST(count(*) FILTER (len(flags) > 0) AS INTEGER) AS flagged
       FROM shots GROUP BY session
     ) c ON c.session = s.session
     ORDER BY opened_at DESC NULLS LAST, s.session DESC`,
  );
  return rows.getRowsJS().map(([id, openedAt, rig, softwareVersion, shots, shotsFlagged, originUtcUs]) => ({
    id: String(id),
    openedAt: String(openedAt),
    originUtcUs: originUtcUs === null ? undefined : BigInt(String(originUtcUs)),
    rig: JSON.parse(String(rig)) as RigSummary,
    softwareVersion: String(softwareVersion),
    shots: Number(shots),
    shotsFlagged: Number(shotsFlagged),
  }));
}

/** In the order of time. */
export async function readChannelSeconds(reader: DuckDBConnection, query: ChannelQuery): Promise<readonly ChannelSecond[]> {
  const { sessionId, channel, fromSecond = 0, toSecond = 2 ** 31 - 1 } = query;
  for (const second of [fromSecond, toSecond]) {
    if (!Number.isSafeInteger(second)) throw new RangeError(`second ${second}: must be a whole number`);
  }
  const rows = await reader.runAndReadAll(
    `SELECT second, n, min, max, mean FROM channel_seconds
     WHERE session = ? AND channel = ? AND second BETWEEN ? AND ? ORDER BY second LIMIT ?`,
    [sessionId, channel, fromSecond, toSecond, SECONDS_MAX],
  );
  return rows.getRowsJS().map(([second, n, min, max, mean]) => ({
    second: Number(second),
    n: Number(n),
    min: Number(min),
    max: Number(max),
    mean: Number(mean),
  }));
}

const SHOTS = 'shots LEFT JOIN shot_exclusions said ON said.shot = shots.id';
const shotColumns = (traces: boolean): string =>
  `shots.shot, ${traces ? 'traces' : "'[]'"}, said.at_ns, said.reason, said.who, said.session, ${CAMERAS_COLUMN}`;

/** Only what shotRow and exclusionRow wrote is read here, so the shape is known. */
function shotOf([shot, traces, atNs, reason, who, session, cameras]: readonly unknown[]): Shot {
  const rest = JSON.parse(String(shot)) as Omit<Shot, 'traces'>;
  const whole = withCamerasAsked({ ...rest, traces: JSON.parse(String(traces)) as readonly PressureTrace[], ...camerasOf(cameras) });
  if (atNs === null) return whole;
  const later = session === rest.sessionId ? {} : { sessionId: String(session) };
  return { ...whole, exclusion: { atNs: Number(atNs), ...later, reason: String(reason), who: String(who) } };
}

/** The store's times are UTC without a zone; any zone in the text is taken into account. */
function utcText(iso: string): string {
  const ms = Date.parse(iso);
  if (Number.isNaN(ms)) throw new RangeError(`time ${JSON.stringify(iso)}: must be ISO 8601, such as 2031-05-04T09:30:00Z`);
  return new Date(ms).toISOString();
}
