import type { Shot, ShotTableRow } from '../../../protocol/index.ts';

/** A shot as the host's table would list it. Notes come apart: a shot does not hold them. */
export function rowOfShot(shot: Shot): Omit<ShotTableRow, 'notes'> {
  const { muzzleVelocityMps: muzzle, targetVelocityMps: target, mach, dragCoefficient: drag, exclusion } = shot;
  return {
    id: shot.id,
    session: shot.sessionId,
    number: shot.number,
    firedAt: shot.firedAt,
    rig: shot.rigName,
    projectile: shot.projectile,
    muzzleVelocityMps: muzzle?.value ?? null,
    muzzleVelocityStandardUncertaintyMps: muzzle?.standardUncertainty ?? null,
    targetVelocityMps: target?.value ?? null,
    targetVelocityStandardUncertaintyMps: target?.standardUncertainty ?? null,
    mach: mach?.value ?? null,
    machStandardUncertainty: mach?.standardUncertainty ?? null,
    dragCoefficient: drag?.value ?? null,
    dragCoefficientStandardUncertainty: drag?.standardUncertainty ?? null,
    reservoirPressurePa: shot.reservoirPressurePa?.value ?? null,
    barrelPressurePa: shot.barrelPressurePa?.value ?? null,
    flags: shot.flags,
    excluded: exclusion !== undefined,
    excludedBecause: exclusion?.reason ?? '',
    excludedBy: exclusion?.who ?? '',
  };
}
