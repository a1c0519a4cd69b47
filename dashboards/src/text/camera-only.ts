import type { Measured, Shot } from '../../../protocol/index.ts';

/** What a camera alone has of a shot that the gates missed, at the muzzle datum; the surest of several. */
export function cameraOnly({
  muzzleVelocityMps,
  cameras = [],
}: Shot): { readonly camera: string; readonly velocityMps: Measured } | undefined {
  if (muzzleVelocityMps) return undefined;
  const seen = cameras.flatMap(({ camera, check }) =>
    check?.verdict === 'camera-only' && check.datumVelocityMps ? [{ camera, velocityMps: check.datumVelocityMps }] : [],
  );
  return seen.sort((a, b) => a.velocityMps.standardUncertainty - b.velocityMps.standardUncertainty)[0];
}
