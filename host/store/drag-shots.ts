/** What a drag curve needs of shots, and no more: a whole shot with all its budgets is ten times as much to read. */
import type { DuckDBConnection } from '@duckdb/node-api';
import type { DragShot } from '../../protocol/index.ts';
import { type ShotQuery, shotFilter } from './queries.ts';

const PARTS = ['$.firedAt', '$.flags', '$.dragCoefficient', '$.dragMach', '$.dragReynolds'];

/**
 * Newest first.
 * @throws RangeError for a limit or a time that is none
 */
export async function readDragShots(reader: DuckDBConnection, query: Omit<ShotQuery, 'traces'>): Promise<readonly DragShot[]> {
  const { where, values } = shotFilter(query);
  const paths = PARTS.map((path) => `'${path}'`).join(', ');
  const rows = await reader.runAndReadAll(
    `SELECT shots.id, shots.session, rig, projectile, json_extract(shots.shot, [${paths}]), said.reason, said.who
     FROM shots LEFT JOIN shot_exclusions said ON said.shot = shots.id ${where}`,
    values,
  );
  return rows.getRowsJS().map(([id, session, rig, projectile, parts, reason, who]) => {
    const [firedAt, flags, dragCoefficient, dragMach, dragReynolds] = (parts as (string | null)[]).map((part) =>
      part === null ? undefined : JSON.parse(part),
    );
    return {
      id: String(id),
      sessionId: String(session),
      rigName: String(rig),
      projectile: String(projectile),
      firedAt,
      flags,
      ...(dragCoefficient && dragMach && dragReynolds ? { dragCoefficient, dragMach, dragReynolds } : {}),
      ...(reason === null ? {} : { exclusion: { reason: String(reason), who: String(who) } }),
    };
  });
}
