/** From events to rows, one kind of row a function. Pure. */
import type { LinkEvent, NoteEvent, SamplesEvent, SessionEvent, Shot, ShotExcludedEvent } from '../../protocol/index.ts';

export interface SessionRow {
  readonly session: string;
  readonly openedAt: string;
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

export interface NoteRow {
  readonly session: string;
  readonly atNs: bigint;
  readonly shot: string | null;
  readonly text: string;
}

export interface LinkRow {
  readonly session: string;
  readonly atNs: bigint;
  readonly source: string;
  readonly change: string;
  readonly path: string;
  readonly detail: string;
}

/** Samples of one channel within one second of session time. */
export interface SecondRow {
  readonly session: string;
  readonly channel: string;
  readonly second: number;
  readonly n: number;
  readonly min: number;
  readonly max: number;
  readonly mean: number;
}

export function sessionRow(event: SessionEvent): SessionRow {
  return {
    session: event.sessionId,
    openedAt: event.openedAt,
    rig: event.rig.name,
    site: event.rig.site,
    projectile: event.rig.projectile.name,
    softwareVersion: event.softwareVersion,
    rigSummaryJson: JSON.stringify(event.rig),
  };
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

export function noteRow(session: string, event: NoteEvent): NoteRow {
  return { session, atNs: BigInt(Math.round(event.atNs)), shot: event.shotId ?? null, text: event.text };
}

export function linkRow(session: string, event: LinkEvent): LinkRow {
  const { source, change, path, detail } = event;
  return { session, atNs: BigInt(Math.round(event.atNs)), source, change, path, detail };
}

/**
 * Cuts a block of samples at the whole seconds of session time.
 * Values that are not finite are left out: there is no such pressure.
 */
export function secondRows(session: string, event: SamplesEvent): SecondRow[] {
  const rows: SecondRow[] = [];
  let second = Number.NaN;
  let n = 0;
  let min = Number.POSITIVE_INFINITY;
  let max = Number.NEGATIVE_INFINITY;
  let sum = 0;
  const end = () => {
    if (n > 0) rows.push({ session, channel: event.channel, second, n, min, max, mean: sum / n });
    n = 0;
    min = Number.POSITIVE_INFINITY;
    max = Number.NEGATIVE_INFINITY;
    sum = 0;
  };
  event.valuesSi.forEach((value, i) => {
    if (!Number.isFinite(value)) return;
    const here = Math.floor((event.fromNs + i * event.periodNs) / 1e9);
    if (here !== second) end();
    second = here;
    n++;
    min = Math.min(min, value);
    max = Math.max(max, value);
    sum += value;
  });
  end();
  return rows;
}

/** The two taken together; both of the same channel and second. */
export function mergeSeconds(a: SecondRow, b: SecondRow): SecondRow {
  const n = a.n + b.n;
  return { ...a, n, min: Math.min(a.min, b.min), max: Math.max(a.max, b.max), mean: (a.n * a.mean + b.n * b.mean) / n };
}
