/** The shots that a map is made of, with the rigs that they were fired from: from the store, or from the host that holds it. */
import type { MapSession, MapSource } from '../../../protocol/index.ts';
import { openDataFolder } from '../data/data-folder.ts';
import { mapSourcesOfRunningHost } from '../data/running-host.ts';
import { fromStore } from '../data/stored.ts';
import { chosenBy, ofProjectile, type ShotsAsked, shotQuery } from '../shots/shot-filters.ts';

export interface MapSources {
  /** Newest first. */
  readonly shots: readonly MapSource[];
  readonly sessions: readonly MapSession[];
}

export async function mapSources(options: ShotsAsked): Promise<MapSources> {
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
  return { ...found, shots: ofProjectile(found.shots, options) };
}
