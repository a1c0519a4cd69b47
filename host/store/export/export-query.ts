/** What is to be taken out of a store, and the statement that finds it. */
import type { SessionNs } from '../../../protocol/index.ts';
import { samplesSql } from '../samples/samples-sql.ts';

export interface ExportQuery {
  readonly what: 'samples' | 'shots' | 'events';
  /** Default: all. */
  readonly sessions?: readonly string[];
  /** Of samples and of what events are about; default: all. */
  readonly channels?: readonly string[];
  /** Session time; default: from the beginning. */
  readonly fromNs?: SessionNs;
  /** Not in it; default: to the end. */
  readonly toNs?: SessionNs;
}

/** A text as a literal: statements that write files take no parameters. */
export const literal = (text: string): string => `'${text.replaceAll("'", "''")}'`;

const oneOf = (column: string, texts: readonly string[] | undefined): string =>
  texts === undefined ? 'true' : texts.length === 0 ? 'false' : `${column} IN (${texts.map(literal).join(', ')})`;

/** at_utc in whole nanoseconds, null where the session's origin is not known. */
const atUtc = (atNs: string): string => `make_timestamp_ns(epoch_ns(s.origin_utc) + ${atNs})`;

/** Samples: session, rig, channel, stream, at_ns, at_utc, value_si, unit, count. Events: session, rig, at_ns, at_utc, type, about, event. */
export function exportSql(query: ExportQuery): string {
  const { what, sessions, channels, fromNs = 0, toNs = Number.MAX_SAFE_INTEGER } = query;
  const ofSession = oneOf('session', sessions);
  const between = `at_ns >= ${fromNs} AND at_ns < ${toNs}`;
  if (what === 'shots') return shotsSql(sessions);
  if (what === 'events') {
    return `SELECT e.session, s.rig, e.at_ns, ${atUtc('e.at_ns')} AS at_utc, e.type, e.about, CAST(e.event AS VARCHAR) AS event
      FROM events e LEFT JOIN sessions s ON s.session = e.session
      WHERE ${oneOf('e.session', sessions)} AND e.at_ns >= ${fromNs} AND e.at_ns < ${toNs} AND ${oneOf('e.about', channels)}`;
  }
  const which = `${ofSession} AND ${oneOf('channel', channels)}`;
  const blocks = `${which} AND from_ns < ${toNs} AND from_ns + n * period_ns >= ${fromNs}`;
  return `SELECT a.session, s.rig, a.channel, a.stream, a.at_ns, ${atUtc('a.at_ns')} AS at_utc, a.value_si, u.unit, a.count
    FROM (SELECT * FROM (${samplesSql(blocks, `${which} AND ${between}`)}) WHERE ${between}) a
    LEFT JOIN sessions s ON s.session = a.session
    LEFT JOIN channel_units u ON u.session = a.session AND u.channel = a.channel`;
}

const shotsSql = (sessions: readonly string[] | undefined): string =>
  `SELECT shots.* EXCLUDE (shot, traces), said.reason AS excluded_because, said.who AS excluded_by, CAST(shots.shot AS VARCHAR) AS shot
   FROM shots LEFT JOIN shot_exclusions said ON said.shot = shots.id WHERE ${oneOf('shots.session', sessions)}`;
