/** The shots that a map is made of, with the rigs that they were fired from: from the store, or from the host that holds it. */
import type { MapSession, MapSource } from '../../../protocol/index.ts';
import { openDataFolder } from '../data-folder.ts';
import { mapSourcesOfRunningHost } from '../running-host.ts';
import { sinceUtc } from '../since.ts';
import { fromStore } from '../stored.ts';

export interface MapFilters {
  readonly data: string;
  readonly session?: string;
  readonly rig?: string;
  readonly since?: string;
  readonly projectile?: string;
  readonly limit: number;
}

export interface MapSources {
  /** Newest first. */
  readonly shots: readonly MapSource[];
  readonly sessions: readonly MapSession[];
}

export async function mapSources(options: MapFilters): Promise<MapSources> {
  const { session, rig, projectile, limit } = options;
  const since = options.since === undefined ? undefined : sinceUtc(options.since);
  const query = {
    limit,
    ...(session === undefined ? {} : { sessionId: session }),
    ...(rig === undefined ? {} : { rig }),
    ...(since === undefined ? {} : { since }),
  };
  const folder = openDataFolder(options.data);
  const found = await fromStore<MapSources>(
    folder,
    async (store) => ({ shots: await store.mapShots(query), sessions: await store.sessions() }),
    async () => {
      const all = await mapSourcesOfRunningHost(folder);
      return all && { ...all, shots: all.shots.filter((shot) => matches(shot, { session, rig, since })).slice(0, limit) };
    },
    { shots: [], sessions: [] },
  );
  return projectile === undefined ? found : { ...found, shots: found.shots.filter((shot) => shot.projectile === projectile) };
}

interface Wanted {
  readonly session: string | undefined;
  readonly rig: string | undefined;
  readonly since: string | undefined;
}

const matches = (shot: MapSource, { session, rig, since }: Wanted): boolean =>
  (session === undefined || shot.sessionId === session) &&
  (rig === undefined || shot.rigName === rig) &&
  (since === undefined || Date.parse(shot.firedAt) >= Date.parse(since));
