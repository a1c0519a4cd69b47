/** Every shot as one flat row: what an archive of a thousand sessions is leafed through by. The whole shot is asked for by its id. */
import type { DuckDBConnection } from '@duckdb/node-api';
import type { ShotTableRow } from '../../protocol/index.ts';

export const SHOT_TABLE_MAX = 20_000;

/**
 * All rows as one text: to fetch a text for each row takes ten times as long as everything else. Numbers are written by
 * the database so that they are read back to the bit. Control characters part notes, rows and fields, and stand in none.
 */
const PARTERS = { note: '\u001d', row: '\u001e', field: '\u001f' } as const;
const unparted = (text: string): string => `translate(${text}, chr(29) || chr(30) || chr(31), '   ')`;
const NUMBERS = [
  ...['number', 'muzzle_velocity_mps', 'muzzle_velocity_u_mps', 'target_velocity_mps', 'target_velocity_u_mps', 'mach', 'mach_u'],
  ...['drag_coefficient', 'drag_coefficient_u', 'reservoir_pressure_pa', 'barrel_pressure_pa'],
];
const TEXTS = [
  ...["strftime(fired_at, '%Y-%m-%dT%H:%M:%S.%fZ')", 'id', 'shots.session', 'rig', 'projectile', "array_to_string(flags, ' ')"],
  ...["CASE WHEN said.shot IS NULL THEN '' ELSE 'x' END", 'said.reason', 'said.who'],
];
/** Of a shot so many characters: a list is leafed through, a shot is read. */
const NOTES_CHARACTERS_MAX = 1_000;
const NOTES = `SELECT about, left(string_agg(${unparted("event ->> '$.text'")}, chr(29) ORDER BY at_ns), ${NOTES_CHARACTERS_MAX}) AS texts
  FROM events WHERE type = 'note' AND about <> '' GROUP BY about`;
const FIELDS = [...NUMBERS.map((column) => `CAST(${column} AS VARCHAR)`), ...TEXTS.map(unparted), 'noted.texts'];
const SQL = `SELECT coalesce(string_agg(line, chr(30)), '') FROM (
    SELECT concat_ws(chr(31), ${FIELDS.map((field) => `coalesce(${field}, '')`).join(', ')}) AS line
    FROM shots LEFT JOIN shot_exclusions said ON said.shot = shots.id LEFT JOIN (${NOTES}) noted ON noted.about = shots.id
    ORDER BY fired_at DESC NULLS LAST, number DESC, id DESC LIMIT ${SHOT_TABLE_MAX}
  )`;

/** Newest first. */
export async function readShotTable(reader: DuckDBConnection): Promise<readonly ShotTableRow[]> {
  const [[text] = []] = (await reader.runAndReadAll(SQL)).getRows();
  if (typeof text !== 'string') throw new TypeError('the shot table did not come as one text');
  // The database need not put them together in order.
  return text === '' ? [] : text.split(PARTERS.row).map(rowOf).sort(newestFirst);
}

function rowOf(line: string): ShotTableRow {
  const fields = line.split(PARTERS.field);
  const at = (i: number): number | null => (fields[i] === '' ? null : Number(fields[i]));
  const texts = fields.slice(NUMBERS.length);
  const [firedAt = '', id = '', session = '', rig = '', projectile = '', flags = '', excluded = '', because = '', by = '', notes = ''] =
    texts;
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
    excludedBecause: because,
    excludedBy: by,
    notes: notes === '' ? [] : notes.split(PARTERS.note),
  };
}

const newestFirst = (a: ShotTableRow, b: ShotTableRow): number =>
  compare(b.firedAt, a.firedAt) || b.number - a.number || compare(b.id, a.id);

const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);
