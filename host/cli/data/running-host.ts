/** The running host, for commands that find the store in its hands. */
import type { MapSession, MapSource, RigSummary, SeriesState, Shot, SnapshotMessage, StoredAct } from '../../../protocol/index.ts';
import type { DataFolder } from './data-folder.ts';
import { keyOf, readHostFile } from './host-file.ts';

/** The most that a host lists at once. */
const HOST_LIMIT_MAX = 1000;

/**
 * The newest shots, as many as a host lists.
 * @returns undefined where no host has left its address, or it does not answer
 */
export const shotsOfRunningHost = async (folder: DataFolder): Promise<readonly Shot[] | undefined> =>
  (await askRunningHost<readonly Shot[]>(folder, `/api/shots?limit=${HOST_LIMIT_MAX}`)) ?? undefined;

/** @returns null where the host knows no such shot */
export const shotOfRunningHost = (folder: DataFolder, id: string): Promise<Shot | null | undefined> =>
  askRunningHost(folder, `/api/shots/${encodeURIComponent(id)}`);

/** What was done to a shot, by any session. */
export const actsOfRunningHost = async (folder: DataFolder, id: string): Promise<readonly StoredAct[] | undefined> =>
  (await askRunningHost<readonly StoredAct[]>(folder, `/api/shots/${encodeURIComponent(id)}/acts`)) ?? undefined;

/** All shots that it makes its maps of, newest first. */
export const mapSourcesOfRunningHost = async (folder: DataFolder): Promise<MapSources | undefined> =>
  (await askRunningHost<MapSources | null>(folder, '/api/map/sources')) ?? undefined;

interface MapSources {
  readonly shots: readonly MapSource[];
  readonly sessions: readonly MapSession[];
}

export const sessionOfRunningHost = async (folder: DataFolder): Promise<string | undefined> =>
  (await askRunningHost<SnapshotMessage>(folder, '/api/state'))?.sessionId;

/** Of the session that it is running, or of one in its store. */
export async function rigOfRunningHost(folder: DataFolder, sessionId: string): Promise<RigSummary | undefined> {
  const state = await askRunningHost<SnapshotMessage>(folder, '/api/state');
  if (state?.sessionId === sessionId) return state.rig;
  return (await askRunningHost<RigSummary>(folder, `/api/sessions/${encodeURIComponent(sessionId)}/rig`)) ?? undefined;
}

/** null where it sends nothing. */
export const seriesOfRunningHost = (folder: DataFolder): Promise<SeriesState | null | undefined> => askRunningHost(folder, '/api/series');

/** @returns null where the host has no such thing, undefined where there is no host */
async function askRunningHost<T>(folder: DataFolder, path: string): Promise<T | null | undefined> {
  try {
    const host = readHostFile(folder);
    const answer = await fetch(new URL(path, host.url), { headers: keyOf(host), signal: AbortSignal.timeout(5_000) });
    if (answer.status === 404) return null;
    return answer.ok ? ((await answer.json()) as T) : undefined;
  } catch {
    return undefined;
  }
}
