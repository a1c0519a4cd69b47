/** `postern rebuild`: the store, anew, from all journals in the data folder. The present one stays until the new one is whole. */
import { setImmediate as turn } from 'node:timers/promises';
import { replaceStore, type Store, type StoreProblem, storedSessionIds } from '../../store/index.ts';
import { CloseStack } from '../close-stack.ts';
import { CommandError, say, warn, writeJson } from '../output.ts';
import { type FoldStep, foldEnd, foldRecord, NOTHING_FOLDED } from '../replay/recorded-fold.ts';
import { StopSignal } from '../stop-signal.ts';
import { type DataFolder, exists, openDataFolder } from './data-folder.ts';
import { FolderHold } from './folder-hold.ts';
import { damageSentence, journalRecords } from './journal-records.ts';
import { type SessionJournal, sessionJournals } from './session-journals.ts';

export interface RebuildOptions {
  readonly data: string;
  /** Sessions whose journal is gone may go too. */
  readonly dropMissing: boolean;
  readonly json?: string | true;
}

export interface RebuiltJournal {
  readonly journal: string;
  /** null: no rig file was found in it, so nothing of it can be stored. */
  readonly session: string | null;
  readonly records: number;
  readonly shots: number;
  /** A sentence for each stretch that could not be used, and for what else is to be known. */
  readonly problems: readonly string[];
}

/** The store's queue is bounded and lets rows go when it is full: it is emptied long before. */
const ROWS_WAITING_MAX = 2_000;
const SAMPLES_WAITING_MAX = 200_000;
const RECORDS_BETWEEN_TURNS = 500;
const SAY_EVERY_MS = 5_000;

export async function rebuild({ data, dropMissing, json }: RebuildOptions): Promise<void> {
  const onProgress = json === true ? () => undefined : say;
  const { store, journals } = await rebuildStore(data, { dropMissing, onProgress, onTrouble: warn });
  if (json !== undefined) writeJson(json, { store, journals });
  onProgress(resultLine(store, journals));
}

export interface RebuildPorts {
  readonly dropMissing: boolean;
  readonly onProgress: (line: string) => void;
  readonly onTrouble: (sentence: string) => void;
}

/** @throws CommandError where the store was left as it is, and why */
export async function rebuildStore(
  data: string,
  ports: RebuildPorts,
): Promise<{ readonly store: string; readonly journals: readonly RebuiltJournal[] }> {
  if (!exists(data)) throw new CommandError(`There is no data folder ${data}; --data names another.`, 2);
  const folder = openDataFolder(data);
  // No host runs on the folder, and none can be started on it meanwhile.
  const hold = await FolderHold.take(folder);
  try {
    return await rebuildHeld(folder, ports);
  } finally {
    await hold.release();
  }
}

async function rebuildHeld(
  folder: DataFolder,
  ports: RebuildPorts,
): Promise<{ readonly store: string; readonly journals: readonly RebuiltJournal[] }> {
  const journals = sessionJournals(folder);
  if (journals.length === 0) {
    throw new CommandError(`There is no journal in ${folder.journals} to rebuild from; the store was left as it is.`);
  }
  const before = (await storedSessionIds(folder.store)) ?? [];
  const stop = new StopSignal();
  stop.lastWords = () => 'Stopped at once; the store is as it was.';
  try {
    return { store: folder.store, journals: await rebuildInto(folder, journals, { ...ports, before, stop }) };
  } finally {
    stop.close();
  }
}

interface Work extends RebuildPorts {
  /** Sessions that the present store knows of. */
  readonly before: readonly string[];
  readonly stop: StopSignal;
}

async function rebuildInto(folder: DataFolder, journals: readonly SessionJournal[], work: Work): Promise<readonly RebuiltJournal[]> {
  let failed: string | undefined;
  const onProblem = ({ message }: StoreProblem): void => {
    failed ??= message;
  };
  const fresh = await replaceStore(folder.store, { onProblem });
  const parts = new CloseStack();
  parts.add(() => fresh.abandon());
  try {
    const rebuilt = await readAll(journals, fresh.store, work);
    await refuseToDrop(rebuilt, folder, work);
    if (failed !== undefined) throw new CommandError(`The new store could not be written (${failed}); the store was left as it is.`);
    await fresh.commit();
    return rebuilt;
  } catch (error) {
    throw await parts.closeAfter(error);
  }
}

async function readAll(journals: readonly SessionJournal[], store: Store, work: Work): Promise<readonly RebuiltJournal[]> {
  const rebuilt: RebuiltJournal[] = [];
  for (const [index, journal] of journals.entries()) {
    work.onProgress(`${index + 1} of ${journals.length}: ${journal.fileName} (${(journal.bytes / 1e6).toFixed(1)} MB)`);
    const taken = new Set(rebuilt.flatMap(({ session }) => session ?? []));
    const one = await readOne(journal, store, taken, work);
    for (const problem of one.problems) work.onTrouble(problem);
    rebuilt.push(one);
  }
  return rebuilt;
}

async function readOne(
  { path, fileName }: SessionJournal,
  store: Store,
  taken: ReadonlySet<string>,
  { stop, onProgress }: Work,
): Promise<RebuiltJournal> {
  const problems: string[] = [];
  const shots = new Set<string>();
  let isAsked = false;
  void stop.asked.then(() => {
    isAsked = true;
  });
  let fold = NOTHING_FOLDED;
  let records = 0;
  let saidMs = performance.now();
  const keep = ([next, events]: FoldStep): void => {
    fold = next;
    for (const event of events) {
      if (event.type === 'rig-rejected') problems.push(`${fileName}: a rig file in it is not understood (${event.problems[0] ?? ''}).`);
      if (event.type === 'shot' && event.phase === 'closed') shots.add(event.shot.id);
    }
    if (fold.pipeline.sessionId !== '') store.apply(fold.pipeline.sessionId, events);
  };
  for (const record of journalRecords(path, (damage) => problems.push(damageSentence(damage)))) {
    keep(foldRecord(fold, record, undefined));
    const { sessionId } = fold.pipeline;
    if (taken.has(sessionId)) {
      problems.push(`${fileName} is of session ${sessionId}, which another journal in the folder has already told; it was left out.`);
      return { journal: fileName, session: null, records: 0, shots: 0, problems };
    }
    records += 1;
    if (store.rowsWaiting > ROWS_WAITING_MAX || store.samplesWaiting > SAMPLES_WAITING_MAX) await store.written();
    if (records % RECORDS_BETWEEN_TURNS !== 0) continue;
    await turn();
    if (isAsked) throw new CommandError('Stopped; the store is as it was.', 130);
    if (performance.now() - saidMs < SAY_EVERY_MS) continue;
    saidMs = performance.now();
    onProgress(`  ${(record.atNs / 60e9).toFixed(0)} minutes of the session, ${shots.size} shots`);
  }
  keep(foldEnd(fold));
  // The running second of each channel ends with its session.
  await store.flush();
  const session = fold.pipeline.sessionId === '' ? null : fold.pipeline.sessionId;
  if (session === null) problems.push(`${fileName} holds no session: no rig file was found in it.`);
  return { journal: fileName, session, records, shots: shots.size, problems };
}

/** A session that only the store knows of would be lost for good. */
async function refuseToDrop(
  rebuilt: readonly RebuiltJournal[],
  { journals }: DataFolder,
  { before, dropMissing, onTrouble }: Work,
): Promise<void> {
  const found = new Set(rebuilt.map(({ session }) => session));
  const missing = before.filter((session) => !found.has(session));
  if (missing.length === 0) return;
  const which = `${missing.length === 1 ? 'session' : `${missing.length} sessions`} ${missing.join(', ')}`;
  if (dropMissing) onTrouble(`No journal of ${which} was found: gone from the store.`);
  else
    throw new CommandError(
      `The store holds ${which}, and no journal of it is in ${journals}: put it back, or give --drop-missing to rebuild without; the store was left as it is.`,
    );
}

function resultLine(store: string, rebuilt: readonly RebuiltJournal[]): string {
  const shots = rebuilt.reduce((sum, journal) => sum + journal.shots, 0);
  const sessions = rebuilt.filter(({ session }) => session !== null).length;
  const troubled = rebuilt.filter(({ problems }) => problems.length > 0).length;
  const trouble = troubled === 0 ? '' : `; of ${troubled} journals not all could be used, as told above`;
  return `The store ${store} is made anew: ${sessions} sessions, ${shots} shots, from ${rebuilt.length} journals${trouble}.`;
}
