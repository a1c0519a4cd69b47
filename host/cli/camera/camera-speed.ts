import type { Result, Shot } from '../../../protocol/index.ts';

/** A speed that a camera alone has of a shot that the gates missed. */
export interface CameraOnly {
  readonly camera: string;
  /** At the muzzle datum. */
  readonly datumVelocityMps: Result;
}

/** @returns the surest, where several cameras saw it; undefined where the gates gave a speed, or no camera did */
export function cameraOnly({ muzzleVelocityMps, cameras = [] }: Shot): CameraOnly | undefined {
  if (muzzleVelocityMps) return undefined;
  const seen = cameras.flatMap(({ camera, check }) =>
    check?.verdict === 'camera-only' && check.datumVelocityMps ? [{ camera, datumVelocityMps: check.datumVelocityMps }] : [],
  );
  return seen.toSorted((a, b) => a.datumVelocityMps.standardUncertainty - b.datumVelocityMps.standardUncertainty)[0];
}
