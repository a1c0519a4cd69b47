/** The shots that a map is made of, with the rigs that they were fired from: from the store, or from the host that holds it. */
import type { MapSession, MapSource } from '../../../protocol/index.ts';
import { openDataFolder } from '../data-folder.ts';
import { mapSourcesOfRunningHost } from '../running-host.ts';
import { chosenBy, shotQuery } from '../shot-filters.ts';
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
  const { projectile } = options;
  const query = shotQuery(options);
  const folder = openDataFolder(options.data);
  const found = await fromStore<MapSources>(
    folder,
    async (store) => ({ shots: await store.mapShots(query), sessions: await store.sessions() }),
    async () => {
      const all = await mapSourcesOfRunningHost(folder);
      return all && { ...all, shots: chosenBy(query, all.shots) };
    },
    { shots: [], sessions: [] },
  );
  return projectile === undefined ? found : { ...found, shots: found.shots.filter((shot) => shot.projectile === projectile) };
}
