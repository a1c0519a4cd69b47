/**
 * Opening the DuckDB file. A file that is damaged, or of another schema, is moved aside and a new one made in its
 * place: the store is derived data. One earlier file is kept so, the next takes its place.
 *
 * The file's lock is a POSIX record lock: it is lost as soon as this process closes any other handle on the same
 * file. So nothing here touches the file while it is open, and a second opening in this process is refused by us.
 */
import { existsSync, mkdirSync, realpathSync, renameSync, rmSync } from 'node:fs';
import { basename, dirname, join, resolve } from 'node:path';
import { type DuckDBConnection, DuckDBInstance } from '@duckdb/node-api';
import { firstLine, isLock, isSurroundings, StoreLockedError, StoreUnusableError } from './problems.ts';
import { type BlockNumbers, blockNumbers } from './samples/write-windows.ts';
import { COUNTS, SCHEMA_SQL, SCHEMA_VERSION, TABLES } from './schema.ts';

/** Small enough for a field laptop beside the live load; no extension is ever fetched. */
const CONFIGURATION = { memory_limit: '256MB', threads: '2', checkpoint_threshold: '64MB', autoinstall_known_extensions: 'false' };

const openHere = new Set<string>();

export interface Database {
  readonly path: string;
  readonly writer: DuckDBConnection;
  /** Its own connection: a read never sees half a batch, and never waits for one. */
  readonly reader: DuckDBConnection;
  readonly blocks: BlockNumbers;
  /** Whether what is in it may be less than the journals hold. */
  readonly found: 'existing' | 'new' | 'set-aside';
  /** Why the earlier file was set aside, and where it is now; empty otherwise. */
  readonly notice: string;
  close(): void;
}

/**
 * @param fresh  true: set aside whatever is there and begin anew
 * @throws StoreLockedError, StoreUnusableError
 */
export async function openDatabase(path: string, fresh: boolean): Promise<Database> {
  let file: string;
  try {
    mkdirSync(dirname(resolve(path)), { recursive: true });
    file = trueFile(path);
  } catch (cause) {
    throw new StoreUnusableError(path, cause);
  }
  if (openHere.has(file)) throw new StoreLockedError(path);
  openHere.add(file);
  try {
    return await openFile(path, file, fresh);
  } catch (error) {
    openHere.delete(file);
    throw error;
  }
}

/** Whether a part of this process has it open: to open it once more, and close that, would give up the lock. */
export const isOpenHere = (path: string): boolean => openHere.has(trueFile(path));

const trueFile = (path: string): string => join(realpathSync(dirname(resolve(path))), basename(path));

async function openFile(path: string, file: string, fresh: boolean): Promise<Database> {
  const existed = existsSync(file);
  let found: Database['found'] = existed ? 'existing' : 'new';
  let notice = '';
  let opened = await attempt(path, file, existed);
  if (opened.refused !== undefined || (fresh && existed)) {
    opened.handles?.close();
    const reason = opened.refused ?? 'a new one was asked for';
    const aside = setAside(path, file);
    notice = `The store ${path} was set aside as ${aside} (${reason}) and a new one made: run "postern rebuild" to fill it from the journals.`;
    found = 'set-aside';
    opened = await attempt(path, file, false);
  }
  const { handles } = opened;
  if (handles === undefined) throw new StoreUnusableError(path, new Error(opened.refused));
  const close = () => {
    handles.close();
    openHere.delete(file);
  };
  const { writer, reader, blocks } = handles;
  return { path, writer, reader, blocks, found, notice, close };
}

interface Handles {
  readonly writer: DuckDBConnection;
  readonly reader: DuckDBConnection;
  readonly blocks: BlockNumbers;
  close(): void;
}

interface Attempt {
  readonly handles?: Handles;
  /** Why the file is of no use. */
  readonly refused?: string;
}

async function attempt(path: string, file: string, existed: boolean): Promise<Attempt> {
  let instance: DuckDBInstance | undefined;
  const open: DuckDBConnection[] = [];
  const close = () => {
    for (const connection of open) connection.closeSync();
    instance?.closeSync();
  };
  try {
    instance = await DuckDBInstance.create(file, CONFIGURATION);
    const writer = await instance.connect();
    open.push(writer);
    const reader = await instance.connect();
    open.push(reader);
    if (!existed) await makeTables(writer);
    const version = await schemaVersion(reader);
    if (version !== SCHEMA_VERSION) {
      close();
      return { refused: `its schema is ${version ?? 'not ours'}, this version needs ${SCHEMA_VERSION}` };
    }
    for (const table of [...TABLES, COUNTS]) await reader.run(`SELECT count(*) FROM ${table}`);
    return { handles: { writer, reader, blocks: await blockNumbers(reader), close } };
  } catch (cause) {
    close();
    if (isLock(cause)) throw new StoreLockedError(path, cause);
    if (!existed || isSurroundings(cause)) throw new StoreUnusableError(path, cause);
    return { refused: firstLine(cause) };
  }
}

async function makeTables(writer: DuckDBConnection): Promise<void> {
  await writer.run('BEGIN');
  for (const statement of SCHEMA_SQL) await writer.run(statement);
  await writer.run('INSERT INTO meta VALUES (?)', [SCHEMA_VERSION]);
  await writer.run('COMMIT');
}

async function schemaVersion(reader: DuckDBConnection): Promise<number | undefined> {
  const tables = await reader.runAndReadAll("SELECT 1 FROM duckdb_tables() WHERE table_name = 'meta'");
  if (tables.currentRowCount === 0) return undefined;
  const rows = (await reader.runAndReadAll('SELECT schema_version FROM meta')).getRowsJS();
  const version = rows[0]?.[0];
  return typeof version === 'number' ? version : undefined;
}

/** Moves the file and its write-ahead log; the log first, so that it never meets a file that it does not belong to. */
function setAside(path: string, file: string): string {
  const aside = `${file}.set-aside`;
  try {
    rmSync(aside, { force: true });
    rmSync(`${aside}.wal`, { force: true });
    if (existsSync(`${file}.wal`)) renameSync(`${file}.wal`, `${aside}.wal`);
    if (existsSync(file)) renameSync(file, aside);
  } catch (cause) {
    throw new StoreUnusableError(path, cause);
  }
  return aside;
}
