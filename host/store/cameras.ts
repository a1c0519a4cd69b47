/** What cameras have of shots: clips, tracks, and how each holds against the gates. One row a camera a shot, as last told. */
import { BIGINT, DOUBLE, type DuckDBConnection, VARCHAR } from '@duckdb/node-api';
import type { ShotCamera, ShotCameraEvent } from '../../protocol/index.ts';

export interface CameraRow {
  readonly shot: string;
  readonly session: string;
  readonly camera: string;
  readonly clip: string;
  readonly atNs: bigint;
  readonly who: string;
  /** `camera-only` where the gates gave no speed; null without a track. */
  readonly verdict: string | null;
  readonly numbers: readonly (number | null)[];
  readonly blame: string | null;
  readonly ofJson: string;
}

export const CAMERAS_SQL = `CREATE TABLE shot_cameras (
    shot VARCHAR NOT NULL,
    session VARCHAR NOT NULL,
    camera VARCHAR NOT NULL,
    clip VARCHAR NOT NULL,
    at_ns BIGINT NOT NULL,
    who VARCHAR NOT NULL,
    -- agree, disagree, cannot-tell, camera-only (the gates gave no speed), no-speed; null where no track was told.
    verdict VARCHAR,
    -- Speed and its standard uncertainty, where it belongs, the same at the muzzle datum, and E_n against the gates.
    velocity_mps DOUBLE,
    velocity_u_mps DOUBLE,
    position_m DOUBLE,
    datum_velocity_mps DOUBLE,
    datum_velocity_u_mps DOUBLE,
    en_score DOUBLE,
    blame VARCHAR,
    said JSON NOT NULL,
    PRIMARY KEY (shot, camera)
  )`;

const NUMBERS = 6;

export function cameraRow(session: string, { shotId, of }: ShotCameraEvent): CameraRow {
  const { camera, clip, atNs, who, check } = of;
  return {
    shot: shotId,
    session,
    camera,
    clip,
    atNs: BigInt(Math.round(atNs)),
    who,
    verdict: check?.verdict ?? null,
    numbers: [
      check?.velocityMps?.value,
      check?.velocityMps?.standardUncertainty,
      check?.positionM,
      check?.datumVelocityMps?.value,
      check?.datumVelocityMps?.standardUncertainty,
      check?.score,
    ].map((value) => value ?? null),
    blame: check?.blame ?? null,
    ofJson: JSON.stringify(of),
  };
}

export const cameraKey = ({ shot, camera }: CameraRow): string => JSON.stringify([shot, camera]);

const TYPES = [
  ...[VARCHAR, VARCHAR, VARCHAR, VARCHAR, BIGINT, VARCHAR, VARCHAR],
  ...Array.from({ length: NUMBERS }, () => DOUBLE),
  ...[VARCHAR, VARCHAR],
];
const INSERT = `INSERT OR REPLACE INTO shot_cameras VALUES (${TYPES.map(() => '?').join(', ')})`;

export async function writeCamera(writer: DuckDBConnection, row: CameraRow): Promise<void> {
  const { shot, session, camera, clip, atNs, who, verdict, numbers, blame, ofJson } = row;
  await writer.run(INSERT, [shot, session, camera, clip, atNs, who, verdict, ...numbers, blame, ofJson], TYPES);
}

/** A column of a query over shots, for `camerasOf`. */
export const CAMERAS_COLUMN = '(SELECT list(CAST(c.said AS VARCHAR) ORDER BY c.camera) FROM shot_cameras c WHERE c.shot = shots.id)';

/** Only what cameraRow wrote is read here, so the shape is known. */
export function camerasOf(column: unknown): { readonly cameras?: readonly ShotCamera[] } {
  if (!Array.isArray(column) || column.length === 0) return {};
  return { cameras: column.map((said) => JSON.parse(String(said)) as ShotCamera) };
}
