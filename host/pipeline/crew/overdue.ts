import type { Rig } from '../../rig/index.ts';

/**
 * Of the channels named, those whose calibration was due before that day; on the day itself it still holds.
 * @param utcIso  ISO 8601, UTC
 */
export function calibrationOverdue(rig: Rig, channels: readonly string[], utcIso: string): readonly string[] {
  const day = utcIso.slice(0, 10);
  return rig.channels
    .filter(({ name, calibrationDue }) => calibrationDue !== undefined && calibrationDue < day && channels.includes(name))
    .map(({ name }) => name);
}
