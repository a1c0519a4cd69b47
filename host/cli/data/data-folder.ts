/** Where things lie under `--data DIR`. */
import { mkdirSync, readdirSync, statSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { CommandError, messageOf } from '../output.ts';

export interface DataFolder {
  readonly root: string;
  readonly journals: string;
  readonly store: string;
  /** Address of the running host, for commands that ask it. */
  readonly hostFile: string;
  /** The simulated range's rig file, wires and truth. */
  readonly simulated: string;
}

export const DEFAULT_DATA_DIR = './postern-data';

/**
 * Makes the folders that are missing.
 * @throws CommandError where the system refuses
 */
export function openDataFolder(dir: string): DataFolder {
  const root = resolve(dir);
  const folder = {
    root,
    journals: join(root, 'journals'),
    store: join(root, 'store.duckdb'),
    hostFile: join(root, 'host.json'),
    simulated: join(root, 'simulated'),
  };
  try {
    mkdirSync(folder.journals, { recursive: true });
  } catch (error) {
    throw new CommandError(`The data folder ${root} cannot be used: ${messageOf(error)}`, 1, { cause: error });
  }
  return folder;
}

/**
 * @param sessionId  from anywhere: a command line, an address, a journal's own words
 * @throws CommandError with exit code 2 where it could name a file elsewhere, or none
 */
export function journalPath(folder: DataFolder, sessionId: string): string {
  if (!isSessionId(sessionId)) throw new CommandError('A session is named by letters, digits, - and _ only; postern shots lists them.', 2);
  return join(folder.journals, journalName(sessionId));
}

export const journalName = (sessionId: string): string => `${sessionId}.mcap`;

/** How many there are. */
export const journalsIn = (folder: DataFolder): number => readdirSync(folder.journals).filter((name) => name.endsWith('.mcap')).length;

/** What a session may be called: it names files, and stands in addresses and tables. No dot, so neither `..` nor an ending. */
export const isSessionId = (text: string): boolean => /^[A-Za-z0-9][A-Za-z0-9_-]{0,79}$/.test(text);

/** A name that no journal there has yet. */
export function newSessionId(folder: DataFolder, utcMs: number): string {
  return freeSessionId(utcMs, readdirSync(folder.journals));
}

/** UTC to the second, and a number behind it where that second already has a session. @param files  names of the journals there are */
export function freeSessionId(utcMs: number, files: readonly string[]): string {
  const stamp = new Date(utcMs).toISOString().slice(0, 19).replace(/[-:]/g, '');
  const taken = new Set(files);
  let id = `${stamp}Z`;
  for (let n = 2; taken.has(`${id}.mcap`); n++) id = `${stamp}Z-${n}`;
  return id;
}

export const exists = (path: string): boolean => statSync(path, { throwIfNoEntry: false }) !== undefined;
