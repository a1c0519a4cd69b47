/**
 * The tables. Everything here is derived from journals, so a table is never altered: raise the version and the
 * store is made anew. Columns are flat and in SI so that a person with any SQL tool finds their way.
 */
import { CAMERAS_SQL } from './cameras.ts';
import { samplesSql } from './samples/samples-sql.ts';

export const SCHEMA_VERSION = 4;

/** Each has a column `session`. */
export const TABLES = [
  ...['sessions', 'shots', 'shot_exclusions', 'shot_cameras', 'events', 'sample_blocks', 'sample_readings', 'calibration_values'],
  ...['channel_tenth_parts', 'channel_second_parts', 'channel_ten_parts', 'channel_minute_parts'],
] as const;

/** Its rows are of the session of their block. */
export const COUNTS = 'sample_counts';

/** Rows are only ever added: a stretch that was fetched late, or written while it ran, has several. The view adds them up. */
const summaryTable = (stretch: string): readonly string[] => [
  `CREATE TABLE channel_${stretch}_parts (
    session VARCHAR NOT NULL,
    channel VARCHAR NOT NULL,
    ${stretch} BIGINT NOT NULL,
    n INTEGER NOT NULL,
    min DOUBLE NOT NULL,
    max DOUBLE NOT NULL,
    mean DOUBLE NOT NULL
  )`,
  `CREATE VIEW channel_${stretch}s AS
    SELECT session, channel, ${stretch}, CAST(sum(n) AS INTEGER) AS n, min(min) AS min, max(max) AS max, sum(n * mean) / sum(n) AS mean
    FROM channel_${stretch}_parts GROUP BY session, channel, ${stretch}`,
];

export const SCHEMA_SQL: readonly string[] = [
  'CREATE TABLE meta (schema_version INTEGER NOT NULL)',
  `CREATE TABLE sessions (
    session VARCHAR PRIMARY KEY,
    opened_at TIMESTAMP,
    -- UTC at session time 0: at_ns of any table counts from here.
    origin_utc TIMESTAMP,
    rig VARCHAR NOT NULL,
    site VARCHAR NOT NULL,
    projectile VARCHAR NOT NULL,
    software_version VARCHAR NOT NULL,
    -- Both are read back as they were: the text of the time, and the whole summary of the rig.
    opened_at_text VARCHAR NOT NULL,
    rig_summary JSON NOT NULL
  )`,
  `CREATE TABLE shots (
    id VARCHAR PRIMARY KEY,
    session VARCHAR NOT NULL,
    number INTEGER NOT NULL,
    fired_at TIMESTAMP,
    rig VARCHAR NOT NULL,
    projectile VARCHAR NOT NULL,
    fired_by VARCHAR NOT NULL,
    muzzle_velocity_mps DOUBLE,
    muzzle_velocity_u_mps DOUBLE,
    target_velocity_mps DOUBLE,
    target_velocity_u_mps DOUBLE,
    mach DOUBLE,
    mach_u DOUBLE,
    drag_coefficient DOUBLE,
    drag_coefficient_u DOUBLE,
    reservoir_pressure_pa DOUBLE,
    barrel_pressure_pa DOUBLE,
    air_temperature_k DOUBLE,
    air_pressure_pa DOUBLE,
    air_relative_humidity DOUBLE,
    speed_of_sound_mps DOUBLE,
    air_density_kg_m3 DOUBLE,
    flags VARCHAR[] NOT NULL,
    shot JSON NOT NULL,
    -- Apart from the rest of the shot: a list of shots need not read them.
    traces JSON NOT NULL
  )`,
  // Those that are left out now, each as it was last said. Apart from the shots: it may be said before a shot is closed, or anew.
  `CREATE TABLE shot_exclusions (
    shot VARCHAR PRIMARY KEY,
    session VARCHAR NOT NULL,
    at_ns BIGINT NOT NULL,
    reason VARCHAR NOT NULL,
    who VARCHAR NOT NULL
  )`,
  CAMERAS_SQL,
  // What is news; see host/store/news.ts for what is not.
  `CREATE TABLE events (
    session VARCHAR NOT NULL,
    at_ns BIGINT NOT NULL,
    type VARCHAR NOT NULL,
    about VARCHAR NOT NULL,
    event JSON NOT NULL
  )`,
  `CREATE VIEW notes AS
    SELECT session, at_ns, nullif(about, '') AS shot, event ->> '$.text' AS text FROM events WHERE type = 'note'`,
  `CREATE VIEW link_events AS
    SELECT session, at_ns, about AS source, event ->> '$.change' AS change, event ->> '$.path' AS path, event ->> '$.detail' AS detail
    FROM events WHERE type = 'link'`,
  ...['tenth', 'second', 'ten', 'minute'].flatMap(summaryTable),
  // Counts of a board at even times: sample i of a block is at from_ns + i × period_ns.
  `CREATE TABLE sample_blocks (
    block BIGINT NOT NULL,
    session VARCHAR NOT NULL,
    channel VARCHAR NOT NULL,
    stream VARCHAR NOT NULL,
    from_ns BIGINT NOT NULL,
    period_ns DOUBLE NOT NULL,
    n INTEGER NOT NULL,
    calibration INTEGER NOT NULL,
    added_si DOUBLE NOT NULL,
    dense BOOLEAN NOT NULL
  )`,
  'CREATE TABLE sample_counts (block BIGINT NOT NULL, i INTEGER NOT NULL, count INTEGER NOT NULL)',
  `CREATE TABLE calibration_values (
    session VARCHAR NOT NULL,
    channel VARCHAR NOT NULL,
    calibration INTEGER NOT NULL,
    count INTEGER NOT NULL,
    value_si DOUBLE NOT NULL
  )`,
  `CREATE TABLE sample_readings (
    session VARCHAR NOT NULL,
    channel VARCHAR NOT NULL,
    stream VARCHAR NOT NULL,
    at_ns BIGINT NOT NULL,
    value_si DOUBLE NOT NULL,
    dense BOOLEAN NOT NULL
  )`,
  // Under the rig file that the session had last.
  `CREATE VIEW channel_units AS SELECT session, c.name AS channel, c.unit AS unit, c.measures AS measures FROM (
    SELECT session, unnest(from_json(rig_summary -> '$.channels', '[{"name":"VARCHAR","unit":"VARCHAR","measures":"VARCHAR"}]')) AS c
    FROM sessions
  )`,
  `CREATE VIEW samples AS ${samplesSql('true', 'true')}`,
  // The same, and quick: it reads only the blocks of its span. Seconds of session time; the end is not in it.
  `CREATE MACRO samples_between(of_session, of_channel, from_s, to_s) AS TABLE SELECT * FROM (${samplesSql(
    'session = of_session AND channel = of_channel AND from_ns < CAST(to_s * 1e9 AS BIGINT) AND from_ns + n * period_ns >= CAST(from_s * 1e9 AS BIGINT)',
    'session = of_session AND channel = of_channel AND at_ns >= CAST(from_s * 1e9 AS BIGINT) AND at_ns < CAST(to_s * 1e9 AS BIGINT)',
  )}) WHERE at_ns >= CAST(from_s * 1e9 AS BIGINT) AND at_ns < CAST(to_s * 1e9 AS BIGINT) ORDER BY at_ns`,
];
