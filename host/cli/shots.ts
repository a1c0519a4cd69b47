/** `postern shots`: the shot table. */

import type { Shot } from '../../protocol/index.ts';
import { Store, StoreLockedError } from '../store/index.ts';
import { type DataFolder, exists, openDataFolder } from './data-folder.ts';
import { CommandError, say, writeJson } from './output.ts';
import { shotsOfRunningHost } from './running-host.ts';
import { shotJson } from './shot-json.ts';
import { shotCsv, shotTable } from './shot-lines.ts';

export interface ShotsOptions {
  readonly data: string;
  readonly session?: string;
  readonly rig?: string;
  readonly since?: string;
  readonly flags?: 'clean' | 'flagged';
  readonly limit: number;
  readonly json?: string | true;
  readonly csv?: boolean;
}

export async function listShots(options: ShotsOptions): Promise<void> {
  const shots = await find(openDataFolder(options.data), options);
  if (options.json !== undefined) return writeJson(options.json, { shots: shots.map(shotJson) });
  const lines = options.csv ? shotCsv(shots) : shotTable(shots);
  for (const line of lines) say(line);
  if (shots.length === 0 && !options.csv) say(`No shots in ${options.data} yet that match.`);
}

async function find(folder: DataFolder, options: ShotsOptions): Promise<readonly Shot[]> {
  if (!exists(folder.store)) return [];
  const query = {
    limit: options.limit,
    traces: false,
    ...(options.session === undefined ? {} : { sessionId: options.session }),
    ...(options.rig === undefined ? {} : { rig: options.rig }),
    ...(options.since === undefined ? {} : { since: options.since }),
    ...(options.flags === undefined ? {} : { flags: options.flags }),
  };
  try {
    const store = await Store.open(folder.store);
    try {
      return await store.shots(query);
    } finally {
      await store.close();
    }
  } catch (error) {
    if (!(error instanceof StoreLockedError)) throw error;
    const shots = await shotsOfRunningHost(folder, options.limit);
    if (!shots) throw new CommandError(error.message, 1, { cause: error });
    return shots.filter((shot) => matches(shot, options));
  }
}

function matches(shot: Shot, options: ShotsOptions): boolean {
  if (options.session !== undefined && shot.sessionId !== options.session) return false;
  if (options.rig !== undefined && shot.rigName !== options.rig) return false;
  if (options.since !== undefined && Date.parse(shot.firedAt) < Date.parse(options.since)) return false;
  return options.flags === undefined || (options.flags === 'clean') === (shot.flags.length === 0);
}
