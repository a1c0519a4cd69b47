/** What a map needs of shots, and no more: a whole shot with all its budgets is a hundred times as much to read. */
import type { DuckDBConnection } from '@duckdb/node-api';
import type { MapReading, MapSource } from '../../protocol/index.ts';
import { type ShotQuery, shotFilter } from './queries.ts';

const READINGS = [
  'muzzleVelocityMps',
  'reservoirPressurePa',
  'barrelPressurePa',
  'reservoirTemperatureK',
  'air.temperatureK',
  'air.pressurePa',
];
const PARTS = ['$.firedAt', '$.flags', ...READINGS.flatMap((name) => [`$.${name}.value`, `$.${name}.standardUncertainty`])];

/**
 * Newest first.
 * @throws RangeError for a limit or a time that is none
 */
export async function readMapShots(reader: DuckDBConnection, query: Omit<ShotQuery, 'traces'>): Promise<readonly MapSource[]> {
  const { where, values } = shotFilter(query);
  const paths = PARTS.map((path) => `'${path}'`).join(', ');
  const rows = await reader.runAndReadAll(
    `SELECT shots.id, shots.session, rig, projectile, json_extract(shots.shot, [${paths}]), said.reason, said.who
     FROM shots LEFT JOIN shot_exclusions said ON said.shot = shots.id ${where}`,
    values,
  );
  return rows.getRowsJS().map(([id, session, rig, projectile, parts, reason, who]) => {
    const [firedAt, flags, ...numbers] = (parts as (string | null)[]).map((part) => (part === null ? undefined : JSON.parse(part)));
    const [muzzleVelocityMps, reservoirPressurePa, barrelPressurePa, reservoirTemperatureK, temperatureK, pressurePa] = READINGS.map(
      (_, i) => readingOf(numbers[2 * i], numbers[2 * i + 1]),
    );
    return {
      id: String(id),
      sessionId: String(session),
      rigName: String(rig),
      projectile: String(projectile),
      firedAt,
      flags,
      ...(muzzleVelocityMps ? { muzzleVelocityMps } : {}),
      ...(reservoirPressurePa ? { reservoirPressurePa } : {}),
      ...(barrelPressurePa ? { barrelPressurePa } : {}),
      ...(reservoirTemperatureK ? { reservoirTemperatureK } : {}),
      // Every shot has its air, measured or assumed.
      air: { temperatureK: temperatureK as MapReading, pressurePa: pressurePa as MapReading },
      ...(reason === null ? {} : { exclusion: { reason: String(reason), who: String(who) } }),
    };
  });
}

const readingOf = (value: unknown, standardUncertainty: unknown): MapReading | undefined =>
  typeof value === 'number' && typeof standardUncertainty === 'number' ? { value, standardUncertainty } : undefined;
