/** `postern shots`: the shot table. */

import type { Shot } from '../../protocol/index.ts';
import { Store, StoreLockedError } from '../store/index.ts';
import { budgetLines, resultsOf } from './budget-lines.ts';
import { type DataFolder, exists, openDataFolder } from './data-folder.ts';
import { CommandError, say, writeJson } from './output.ts';
import { shotOfRunningHost, shotsOfRunningHost } from './running-host.ts';
import { shotDetail } from './shot-detail.ts';
import { shotJson } from './shot-json.ts';
import { flagLines, shotCsv, shotTable } from './shot-lines.ts';
import { sinceUtc } from './since.ts';

export interface ShotsOptions {
  readonly data: string;
  readonly session?: string;
  readonly rig?: string;
  readonly since?: string;
  readonly flags?: 'clean' | 'flagged';
  readonly limit: number;
  readonly json?: string | true;
  readonly csv?: boolean;
  readonly budget?: boolean;
  readonly of: string;
}

export async function listShots(shotId: string | undefined, given: ShotsOptions): Promise<void> {
  const options = given.since === undefined ? given : { ...given, since: sinceUtc(given.since) };
  if (options.budget) return showBudget(shotId, options);
  if (shotId !== undefined) return showShot(shotId, options);
  const shots = await find(openDataFolder(options.data), options);
  if (options.json !== undefined) return writeJson(options.json, { shots: shots.map(shotJson) });
  sayShots(shots, options);
  if (shots.length === 0 && !options.csv) say(`No shots in ${options.data} yet that match.`);
}

async function showShot(shotId: string, options: ShotsOptions): Promise<void> {
  const shot = await findOne(shotId, options);
  if (options.json !== undefined) return writeJson(options.json, { shots: [shotJson(shot)] });
  if (options.csv) return sayShots([shot], options);
  for (const line of [...shotDetail(shot), ...flagLines([shot])]) say(line);
}

function sayShots(shots: readonly Shot[], options: ShotsOptions): void {
  const lines = options.csv ? shotCsv(shots) : [...shotTable(shots), ...flagLines(shots)];
  for (const line of lines) say(line);
}

async function showBudget(shotId: string | undefined, options: ShotsOptions): Promise<void> {
  if (shotId === undefined) throw new CommandError('--budget needs a shot: postern shots SHOT --budget; the table gives their names.', 2);
  const shot = await findOne(shotId, options);
  const results = resultsOf(shot);
  const found = results.find(({ name }) => name === options.of);
  if (!found) throw new CommandError(`--of ${options.of}: there are ${results.map(({ name }) => name).join(', ')}.`, 2);
  const { title, result } = found;
  if (!result)
    throw new CommandError(`Shot ${shot.id} has no ${title.toLowerCase()}; its flags say why: ${shot.flags.join(', ') || 'none'}.`);
  if (options.json !== undefined) return writeJson(options.json, { shot: shot.id, of: options.of, result });
  say(`Shot ${shot.id}, ${shot.firedAt}`);
  for (const line of budgetLines(title, result)) say(line);
}

async function findOne(shotId: string, options: ShotsOptions): Promise<Shot> {
  const folder = openDataFolder(options.data);
  const shot = await fromStore<Shot | undefined>(
    folder,
    (store) => store.shot(shotId),
    () => shotOfRunningHost(folder, shotId),
    undefined,
  );
  if (!shot) throw new CommandError(`There is no shot ${shotId} in ${options.data}; postern shots lists them.`);
  return shot;
}

function find(folder: DataFolder, options: ShotsOptions): Promise<readonly Shot[]> {
  const query = {
    limit: options.limit,
    traces: false,
    ...(options.session === undefined ? {} : { sessionId: options.session }),
    ...(options.rig === undefined ? {} : { rig: options.rig }),
    ...(options.since === undefined ? {} : { since: options.since }),
    ...(options.flags === undefined ? {} : { flags: options.flags }),
  };
  return fromStore<readonly Shot[]>(
    folder,
    (store) => store.shots(query),
    // The host chooses by number alone: of all that it lists, those that match.
    async () => (await shotsOfRunningHost(folder))?.filter((shot) => matches(shot, options)).slice(0, options.limit),
    [],
  );
}

/** From the store, or from the host that holds it. */
async function fromStore<T>(
  folder: DataFolder,
  ask: (store: Store) => Promise<T>,
  askHost: () => Promise<T | undefined>,
  whereNoStore: T,
): Promise<T> {
  if (!exists(folder.store)) return whereNoStore;
  try {
    const store = await Store.open(folder.store);
    try {
      return await ask(store);
    } finally {
      await store.close();
    }
  } catch (error) {
    if (!(error instanceof StoreLockedError)) throw error;
    const answer = await askHost();
    if (answer === undefined) throw new CommandError(error.message, 1, { cause: error });
    return answer;
  }
}

function matches(shot: Shot, options: ShotsOptions): boolean {
  if (options.session !== undefined && shot.sessionId !== options.session) return false;
  if (options.rig !== undefined && shot.rigName !== options.rig) return false;
  if (options.since !== undefined && Date.parse(shot.firedAt) < Date.parse(options.since)) return false;
  return options.flags === undefined || (options.flags === 'clean') === (shot.flags.length === 0);
}
