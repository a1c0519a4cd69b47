/** The running host, for commands that find the store in its hands. */
import { readFileSync } from 'node:fs';
import { z } from 'zod';
import type { RigSummary, Shot, SnapshotMessage } from '../../protocol/index.ts';
import type { DataFolder } from './data-folder.ts';

const HOST_FILE = z.object({ pid: z.number(), url: z.url(), sessionId: z.string() });

/** The most that a host lists at once. */
const HOST_LIMIT_MAX = 1000;

/**
 * The newest shots, as many as a host lists.
 * @returns undefined where no host has left its address, or it does not answer
 */
export const shotsOfRunningHost = (folder: DataFolder): Promise<readonly Shot[] | undefined> =>
  askRunningHost(folder, `/api/shots?limit=${HOST_LIMIT_MAX}`);

export const shotOfRunningHost = (folder: DataFolder, id: string): Promise<Shot | undefined> =>
  askRunningHost(folder, `/api/shots/${encodeURIComponent(id)}`);

/** The rig of the session that it is running, and of no other. */
export async function rigOfRunningHost(folder: DataFolder, sessionId: string): Promise<RigSummary | undefined> {
  const state = await askRunningHost<SnapshotMessage>(folder, '/api/state');
  return state?.sessionId === sessionId ? state.rig : undefined;
}

async function askRunningHost<T>(folder: DataFolder, path: string): Promise<T | undefined> {
  try {
    const { url } = HOST_FILE.parse(JSON.parse(readFileSync(folder.hostFile, 'utf8')));
    const answer = await fetch(new URL(path, url), { signal: AbortSignal.timeout(5_000) });
    return answer.ok ? ((await answer.json()) as T) : undefined;
  } catch {
    return undefined;
  }
}
