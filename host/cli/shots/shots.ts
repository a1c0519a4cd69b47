/** `postern shots`: the shot table, or all of one shot. */

import type { RigSummary, Shot } from '../../../protocol/index.ts';
import { type DataFolder, journalPath, openDataFolder } from '../data/data-folder.ts';
import { actsOfRunningHost, rigOfRunningHost, sessionOfRunningHost, shotOfRunningHost, shotsOfRunningHost } from '../data/running-host.ts';
import { fromStore } from '../data/stored.ts';
import { historyLines } from '../history/history-lines.ts';
import { shotHistory } from '../history/shot-history.ts';
import { CommandError, say, writeJson } from '../output.ts';
import { budgetLines } from './budget-lines.ts';
import { oneShotLines } from './one-shot-lines.ts';
import { chosenBy, shotQuery } from './shot-filters.ts';
import { shotIdOf } from './shot-id.ts';
import { shotJson } from './shot-json.ts';
import { flagLines, shotCsv, shotTable } from './shot-lines.ts';
import { isResultName, RESULT_NAMES, resultsOf } from './shot-results.ts';
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
  readonly of?: string;
  readonly history?: boolean;
}

export async function listShots(shotId: string | undefined, given: ShotsOptions): Promise<void> {
  const options = given.since === undefined ? given : { ...given, since: sinceUtc(given.since) };
  if (options.budget || options.of !== undefined) return showBudget(shotId, options);
  if (options.history) return showHistory(shotId, options);
  if (shotId !== undefined) return showShot(shotId, options);
  const shots = await find(openDataFolder(options.data), options);
  if (options.json !== undefined) return writeJson(options.json, { shots: shots.map(shotJson) });
  sayShots(shots, options);
  if (shots.length === 0 && !options.csv) say(`No shots in ${options.data} yet that match.`);
}

async function showShot(shotId: string, options: ShotsOptions): Promise<void> {
  const { shot, rig } = await findOne(shotId, options);
  if (options.json !== undefined) return writeJson(options.json, { shots: [shotJson(shot)] });
  for (const line of options.csv ? shotCsv([shot]) : oneShotLines(shot, rig?.gates)) say(line);
}

function sayShots(shots: readonly Shot[], options: ShotsOptions): void {
  const lines = options.csv ? shotCsv(shots) : [...shotTable(shots), ...flagLines(shots)];
  for (const line of lines) say(line);
}

async function showBudget(shotId: string | undefined, options: ShotsOptions): Promise<void> {
  if (shotId === undefined) throw new CommandError('--budget needs a shot: postern shots SHOT --budget; the table gives their names.', 2);
  const { of = 'muzzle' } = options;
  if (!isResultName(of)) throw new CommandError(`--of ${of}: there are ${RESULT_NAMES.join(', ')}.`, 2);
  const { shot } = await findOne(shotId, options);
  const results = resultsOf(shot);
  const { title, result } = results.find(({ name }) => name === of) ?? {};
  if (title === undefined || !result) {
    const has = results.flatMap(({ name, result: there }) => (there ? [name] : []));
    throw new CommandError(
      `Shot ${shot.id} has no ${of}, and its flags may say why (${shot.flags.join(', ') || 'none'}); it has ${has.join(', ')}.`,
    );
  }
  if (options.json !== undefined) return writeJson(options.json, { shot: shot.id, of, result });
  say(`Shot ${shot.id}, ${shot.firedAt}`);
  for (const line of budgetLines(title, result)) say(line);
}

async function showHistory(shotId: string | undefined, options: ShotsOptions): Promise<void> {
  if (shotId === undefined) throw new CommandError('--history needs a shot: postern shots SHOT --history; the table gives their names.', 2);
  const { shot, rig } = await findOne(shotId, options);
  const folder = openDataFolder(options.data);
  const history = shotHistory(journalPath(folder, shot.sessionId), shot, rig?.gates);
  const acts = await fromStore(
    folder,
    (store) => store.shotActs(shot.id),
    () => actsOfRunningHost(folder, shot.id),
    [],
  );
  // What its own session did is in its journal, each with its record.
  const later = acts.filter(({ session }) => session !== shot.sessionId);
  if (options.json !== undefined) return writeJson(options.json, { ...history, later });
  for (const line of historyLines(history, later)) say(line);
}

interface ShotOfRig {
  readonly shot: Shot;
  /** Where it is known. */
  readonly rig: RigSummary | undefined;
}

export async function findOne(shotId: string, options: Pick<ShotsOptions, 'data'>): Promise<ShotOfRig> {
  const folder = openDataFolder(options.data);
  const found = await fromStore<ShotOfRig | null>(
    folder,
    async (store) => {
      const sessions = await store.sessions();
      const shot = await store.shot(shotIdOf(shotId, sessions[0]?.id));
      return shot ? { shot, rig: sessions.find(({ id }) => id === shot.sessionId)?.rig } : null;
    },
    async () => {
      const shot = await shotOfRunningHost(folder, shotIdOf(shotId, await sessionOfRunningHost(folder)));
      return shot && { shot, rig: await rigOfRunningHost(folder, shot.sessionId) };
    },
    null,
  );
  if (!found) throw new CommandError(`There is no shot ${shotId} in ${options.data}; postern shots lists them.`);
  return found;
}

async function find(folder: DataFolder, options: ShotsOptions): Promise<readonly Shot[]> {
  const query = shotQuery(options);
  return fromStore<readonly Shot[]>(
    folder,
    (store) => store.shots({ ...query, traces: false }),
    async () => {
      const listed = await shotsOfRunningHost(folder);
      return listed && chosenBy(query, listed);
    },
    [],
  );
}
