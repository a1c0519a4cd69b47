/** From events to rows, one kind of row a function. Pure. */
import type { SessionEvent, Shot, ShotExcludedEvent } from '../../protocol/index.ts';

export interface SessionRow {
  readonly session: string;
  readonly openedAt: string;
  /** UTC at session time 0, µs; null where the text is no time. */
  readonly originUtcUs: bigint | null;
  readonly rig: string;
  readonly site: string;
  readonly projectile: string;
  readonly softwareVersion: string;
  readonly rigSummaryJson: string;
}

/** Numbers in the order of their columns in the table `shots`. */
export interface ShotRow {
  readonly id: string;
  readonly session: string;
  readonly number: number;
  readonly firedAt: string;
  readonly rig: string;
  readonly projectile: string;
  readonly firedBy: string;
  readonly numbers: readonly (number | null)[];
  readonly flags: readonly string[];
  readonly shotJson: string;
  readonly tracesJson: string;
}

/** How many they are. */
export const SHOT_NUMBERS = 15;

/** What was last said of a shot: left out, or taken in again. */
export interface ExclusionRow {
  readonly shot: string;
  readonly session: string;
  readonly excluded: boolean;
  readonly atNs: bigint;
  readonly reason: string;
  readonly who: string;
}

export function sessionRow(event: SessionEvent): SessionRow {
  return {
    session: event.sessionId,
    openedAt: event.openedAt,
    originUtcUs: originUtcUs(event),
    rig: event.rig.name,
    site: event.rig.site,
    projectile: event.rig.projectile.name,
    softwareVersion: event.softwareVersion,
    rigSummaryJson: JSON.stringify(event.rig),
  };
}

/** A rig file that was changed in the session opens it anew, later than at session time 0. */
function originUtcUs({ openedAt, atNs }: SessionEvent): bigint | null {
  const [, whole, fraction = ''] = /^(.*?)(?:\.(\d+))?Z$/.exec(openedAt) ?? [];
  const ms = Date.parse(`${whole}Z`);
  if (Number.isNaN(ms)) return null;
  return BigInt(ms) * 1000n + BigInt(fraction.padEnd(6, '0').slice(0, 6)) - BigInt(Math.round(atNs / 1000));
}

export function shotRow(shot: Shot): ShotRow {
  const { traces, exclusion: _saidApart, cameras: _alsoApart, ...rest } = shot;
  const { muzzleVelocityMps: muzzle, targetVelocityMps: target, mach, dragCoefficient: drag, air } = shot;
  return {
    id: shot.id,
    session: shot.sessionId,
    number: shot.number,
    firedAt: shot.firedAt,
    rig: shot.rigName,
    projectile: shot.projectile,
    firedBy: shot.firedBy,
    numbers: [
      muzzle?.value,
      muzzle?.standardUncertainty,
      target?.value,
      target?.standardUncertainty,
      mach?.value,
      mach?.standardUncertainty,
      drag?.value,
      drag?.standardUncertainty,
      shot.reservoirPressurePa?.value,
      shot.barrelPressurePa?.value,
      air.temperatureK.value,
      air.pressurePa.value,
      air.relativeHumidity.value,
      air.speedOfSoundMps.value,
      air.densityKgM3.value,
    ].map((value) => value ?? null),
    flags: shot.flags,
    shotJson: JSON.stringify(rest),
    tracesJson: JSON.stringify(traces),
  };
}

export function exclusionRow(session: string, event: ShotExcludedEvent): ExclusionRow {
  const { shotId, excluded, reason, who } = event;
  return { shot: shotId, session, excluded, atNs: BigInt(Math.round(event.atNs)), reason, who };
}
