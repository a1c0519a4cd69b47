/** Every shot as one flat row: what an archive of a thousand sessions is leafed through by. The whole shot is asked for by its id. */
import type { DuckDBConnection } from '@duckdb/node-api';
import type { ShotTableRow } from '../../protocol/index.ts';
import { float64Items, int32Items } from './samples/typed-items.ts';

export const SHOT_TABLE_MAX = 20_000;

/** As columns of numbers, NaN for none, and one text a row: a text takes longer to fetch than all the numbers beside it. */
const NUMBERS = [
  ...['muzzle_velocity_mps', 'muzzle_velocity_u_mps', 'target_velocity_mps', 'target_velocity_u_mps', 'mach', 'mach_u'],
  ...['drag_coefficient', 'drag_coefficient_u', 'reservoir_pressure_pa', 'barrel_pressure_pa'],
] as const;
const PARTED = 'chr(31)';
const TEXTS = [
  ...[
    'id',
    'shots.session',
    "coalesce(strftime(fired_at, '%Y-%m-%dT%H:%M:%S.%fZ'), '')",
    'rig',
    'projectile',
    "array_to_string(flags, ' ')",
    "coalesce(said.reason, '')",
    "coalesce(said.who, '')",
    "coalesce(noted.texts, '')",
  ],
];
/** Of a shot so many characters: a list is leafed through, a shot is read. */
const NOTES_CHARACTERS_MAX = 1_000;
const NOTES = `SELECT about, left(string_agg(event ->> '$.text', chr(30) ORDER BY at_ns), ${NOTES_CHARACTERS_MAX}) AS texts
  FROM events WHERE type = 'note' AND about <> '' GROUP BY about`;
const SQL = `SELECT number, CAST(said.shot IS NOT NULL AS INTEGER),
    ${TEXTS.map((text) => `replace(${text}, ${PARTED}, ' ')`).join(` || ${PARTED} || `)},
    ${NUMBERS.map((column) => `coalesce(${column}, CAST('NaN' AS DOUBLE))`).join(', ')}
  FROM shots LEFT JOIN shot_exclusions said ON said.shot = shots.id LEFT JOIN (${NOTES}) noted ON noted.about = shots.id
  ORDER BY fired_at DESC NULLS LAST, number DESC, id DESC LIMIT ${SHOT_TABLE_MAX}`;

/** Newest first. */
export async function readShotTable(reader: DuckDBConnection): Promise<readonly ShotTableRow[]> {
  const rows: ShotTableRow[] = [];
  for (const chunk of await (await reader.run(SQL)).fetchAllChunks()) {
    const number = int32Items(chunk.getColumnVector(0));
    const excluded = int32Items(chunk.getColumnVector(1));
    const texts = chunk.getColumnValues(2);
    const columns = NUMBERS.map((_, i) => float64Items(chunk.getColumnVector(3 + i)));
    texts.forEach((text, i) => {
      const [
        id = '',
        session = '',
        firedAt = '',
        rig = '',
        projectile = '',
        flags = '',
        excludedBecause = '',
        excludedBy = '',
        notes = '',
      ] = String(text).split('\u001f');
      const at = (column: number): number | null => {
        const value = columns[column]?.[i] ?? Number.NaN;
        return Number.isNaN(value) ? null : value;
      };
      rows.push({
        ...{ id, session, number: number[i] ?? 0, firedAt, rig, projectile },
        muzzleVelocityMps: at(0),
        muzzleVelocityStandardUncertaintyMps: at(1),
        targetVelocityMps: at(2),
        targetVelocityStandardUncertaintyMps: at(3),
        mach: at(4),
        machStandardUncertainty: at(5),
        dragCoefficient: at(6),
        dragCoefficientStandardUncertainty: at(7),
        reservoirPressurePa: at(8),
        barrelPressurePa: at(9),
        flags: flags === '' ? [] : flags.split(' '),
        excluded: excluded[i] === 1,
        excludedBecause,
        excludedBy,
        notes: notes === '' ? [] : notes.split('\u001e'),
      });
    });
  }
  return rows;
}
