/** The last shots of the session, newest first, each in its newest state. */
import { type Shot, type ShotCamera, type ShotCameraEvent, type ShotExcludedEvent, withCamerasAsked } from '../../protocol/index.ts';

export const SHOTS_KEPT = 20;

export type RecentShots = readonly Shot[];

/** @returns the list with that shot in it, in place of its earlier state; the oldest goes beyond SHOTS_KEPT */
export function withShot(recent: RecentShots, told: Shot): RecentShots {
  // What the crew said of it holds on when the shot is told anew.
  const { exclusion, cameras } = recent.find(({ id }) => id === told.id) ?? {};
  const shot = withCamerasAsked({ ...told, ...(exclusion ? { exclusion } : {}), ...(cameras ? { cameras } : {}) });
  return [shot, ...recent.filter((other) => other.id !== shot.id)].sort((a, b) => b.firedAtNs - a.firedAtNs).slice(0, SHOTS_KEPT);
}

export function withExclusion(recent: RecentShots, { shotId, excluded, atNs, reason, who }: ShotExcludedEvent): RecentShots {
  return recent.map((shot) => {
    if (shot.id !== shotId) return shot;
    const { exclusion: _before, ...counted } = shot;
    return excluded ? { ...counted, exclusion: { atNs, reason, who } } : counted;
  });
}

/** What a camera has of it, in place of what it had. */
export function withCamera(recent: RecentShots, { shotId, of }: ShotCameraEvent): RecentShots {
  return recent.map((shot) => (shot.id === shotId ? withCamerasAsked({ ...shot, cameras: camerasWith(shot.cameras, of) }) : shot));
}

const camerasWith = (cameras: readonly ShotCamera[] = [], of: ShotCamera): readonly ShotCamera[] =>
  [...cameras.filter(({ camera }) => camera !== of.camera), of].sort((a, b) => (a.camera < b.camera ? -1 : 1));

/** Traces are most of a shot's size; a list goes without. */
export function withoutTraces(shot: Shot): Shot {
  return { ...shot, traces: [] };
}
