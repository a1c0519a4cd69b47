import { type Rig, wellKnownMeasure } from '../../rig/index.ts';

/**
 * Of the channels that the program makes use of, those whose calibration was due before that day; on the day itself it
 * still holds. What the crew set right on the range does not put the date off: their reference is nobody's certificate.
 * @param utcIso  ISO 8601, UTC
 */
export function calibrationOverdue(rig: Rig, utcIso: string): readonly string[] {
  const day = utcIso.slice(0, 10);
  return rig.channels
    .filter(({ name, calibrationDue }) => wellKnownMeasure(name) !== undefined && calibrationDue !== undefined && calibrationDue < day)
    .map(({ name }) => name);
}
