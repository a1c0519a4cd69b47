/**
 * The tables. Everything here is derived from journals, so a table is never altered: raise the version and the
 * store is made anew. Columns are flat and in SI so that a person with any SQL tool finds their way.
 */
import { CAMERAS_SQL } from './cameras.ts';

export const SCHEMA_VERSION = 4;

export const TABLES = ['sessions', 'shots', 'shot_exclusions', 'shot_cameras', 'channel_second_parts', 'notes', 'link_events'] as const;

export const SCHEMA_SQL: readonly string[] = [
  'CREATE TABLE meta (schema_version INTEGER NOT NULL)',
  `CREATE TABLE sessions (
    session VARCHAR PRIMARY KEY,
    opened_at TIMESTAMP,
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
  // Rows are only ever added: a second that was fetched late, or written while it ran, has several. The view adds them up.
  `CREATE TABLE channel_second_parts (
    session VARCHAR NOT NULL,
    channel VARCHAR NOT NULL,
    second INTEGER NOT NULL,
    n INTEGER NOT NULL,
    min DOUBLE NOT NULL,
    max DOUBLE NOT NULL,
    mean DOUBLE NOT NULL
  )`,
  `CREATE VIEW channel_seconds AS
    SELECT session, channel, second, CAST(sum(n) AS INTEGER) AS n, min(min) AS min, max(max) AS max, sum(n * mean) / sum(n) AS mean
    FROM channel_second_parts GROUP BY session, channel, second`,
  'CREATE TABLE notes (session VARCHAR NOT NULL, at_ns BIGINT NOT NULL, shot VARCHAR, text VARCHAR NOT NULL)',
  `CREATE TABLE link_events (
    session VARCHAR NOT NULL,
    at_ns BIGINT NOT NULL,
    source VARCHAR NOT NULL,
    change VARCHAR NOT NULL,
    path VARCHAR NOT NULL,
    detail VARCHAR NOT NULL
  )`,
];
