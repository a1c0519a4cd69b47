/** Every shot as one flat row: what an archive of a thousand sessions is leafed through by. The whole shot is asked for by its id. */
import type { DuckDBConnection } from '@duckdb/node-api';

/** SI; null where the shot has no such result. */
export interface ShotTableRow {
  readonly id: string;
  readonly session: string;
  readonly number: number;
  /** UTC, ISO 8601 to the microsecond; empty where the shot does not say. */
  readonly firedAt: string;
  readonly rig: string;
  readonly projectile: string;
  readonly muzzleVelocityMps: number | null;
  readonly muzzleVelocityStandardUncertaintyMps: number | null;
  readonly targetVelocityMps: number | null;
  readonly targetVelocityStandardUncertaintyMps: number | null;
  readonly mach: number | null;
  readonly machStandardUncertainty: number | null;
  readonly dragCoefficient: number | null;
  readonly dragCoefficientStandardUncertainty: number | null;
  readonly reservoirPressurePa: number | null;
  readonly barrelPressurePa: number | null;
  readonly flags: readonly string[];
  readonly excluded: boolean;
}

export const SHOT_TABLE_MAX = 20_000;

/**
 * All rows as one text: to fetch a text for each row takes ten times as long as everything else. Numbers are written by
 * the database so that they are read back to the bit. Control characters part fields and rows, and stand in no field.
 */
const FIELD = '\u001f';
const ROW = '\u001e';
const NUMBERS = [
  ...['number', 'muzzle_velocity_mps', 'muzzle_velocity_u_mps', 'target_velocity_mps', 'target_velocity_u_mps', 'mach', 'mach_u'],
  ...['drag_coefficient', 'drag_coefficient_u', 'reservoir_pressure_pa', 'barrel_pressure_pa'],
];
const TEXTS = [
  ...["strftime(fired_at, '%Y-%m-%dT%H:%M:%S.%fZ')", 'id', 'shots.session', 'rig', 'projectile', "array_to_string(flags, ' ')"],
  "CASE WHEN said.shot IS NULL THEN '' ELSE 'x' END",
];
const FIELDS = [
  ...NUMBERS.map((column) => `CAST(${column} AS VARCHAR)`),
  ...TEXTS.map((text) => `translate(${text}, chr(30) || chr(31), '  ')`),
].map((field) => `coalesce(${field}, '')`);
const SQL = `SELECT coalesce(string_agg(line, chr(30)), '') FROM (
    SELECT concat_ws(chr(31), ${FIELDS.join(', ')}) AS line
    FROM shots LEFT JOIN shot_exclusions said ON said.shot = shots.id
    ORDER BY fired_at DESC NULLS LAST, number DESC, id DESC LIMIT ${SHOT_TABLE_MAX}
  )`;

/** Newest first. */
export async function readShotTable(reader: DuckDBConnection): Promise<readonly ShotTableRow[]> {
  const [[text] = []] = (await reader.runAndReadAll(SQL)).getRows();
  if (typeof text !== 'string') throw new TypeError('the shot table did not come as one text');
  // The database need not put them together in order.
  return text === '' ? [] : text.split(ROW).map(rowOf).sort(newestFirst);
}

function rowOf(line: string): ShotTableRow {
  const fields = line.split(FIELD);
  const at = (i: number): number | null => (fields[i] === '' ? null : Number(fields[i]));
  const [firedAt = '', id = '', session = '', rig = '', projectile = '', flags = '', excluded = ''] = fields.slice(NUMBERS.length);
  return {
    id,
    session,
    number: at(0) ?? 0,
    firedAt,
    rig,
    projectile,
    muzzleVelocityMps: at(1),
    muzzleVelocityStandardUncertaintyMps: at(2),
    targetVelocityMps: at(3),
    targetVelocityStandardUncertaintyMps: at(4),
    mach: at(5),
    machStandardUncertainty: at(6),
    dragCoefficient: at(7),
    dragCoefficientStandardUncertainty: at(8),
    reservoirPressurePa: at(9),
    barrelPressurePa: at(10),
    flags: flags === '' ? [] : flags.split(' '),
    excluded: excluded !== '',
  };
}

const newestFirst = (a: ShotTableRow, b: ShotTableRow): number =>
  compare(b.firedAt, a.firedAt) || b.number - a.number || compare(b.id, a.id);

const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);
