/**
 * A new store beside the present one, which takes its place only when it is whole. Until then the present one stays as
 * it is, whatever becomes of the work: it is left behind as a file that the next rebuild removes.
 */
import { closeSync, existsSync, fsyncSync, openSync, renameSync, rmSync } from 'node:fs';
import { dirname, resolve } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import { isOpenHere } from './database.ts';
import { isLock, StoreLockedError } from './problems.ts';
import { Store, type StoreOptions } from './store.ts';

export interface StoreReplacement {
  readonly store: Store;
  /** Closes the new one and puts it where the present one is. */
  commit(): Promise<void>;
  /** Leaves the present one, and nothing else. */
  abandon(): Promise<void>;
}

/**
 * @param path  of the present store; there need not be one, and it need not be sound
 * @throws StoreUnusableError where the folder or the disk does not allow it
 */
export async function replaceStore(path: string, options: StoreOptions): Promise<StoreReplacement> {
  const fresh = `${path}.rebuilding`;
  const removeFresh = (): void => {
    rmSync(fresh, { force: true });
    rmSync(`${fresh}.wal`, { force: true });
  };
  removeFresh();
  const store = await Store.open(fresh, options);
  return {
    store,
    async commit() {
      await store.close();
      sync(fresh);
      // It belongs to the present file, and would be taken for the new one's.
      rmSync(`${path}.wal`, { force: true });
      renameSync(fresh, path);
      sync(dirname(resolve(path)));
    },
    async abandon() {
      await store.close();
      removeFresh();
    },
  };
}

/**
 * What the store at that path knows of, without changing a byte of it.
 * @returns ids of its sessions; undefined where there is no store, or none that can be read
 * @throws StoreLockedError where another process has it open
 */
export async function storedSessionIds(path: string): Promise<readonly string[] | undefined> {
  if (!existsSync(path)) return undefined;
  if (isOpenHere(path)) throw new StoreLockedError(path);
  try {
    const instance = await DuckDBInstance.create(path, { access_mode: 'READ_ONLY' });
    try {
      const connection = await instance.connect();
      try {
        const rows = await connection.runAndReadAll('SELECT session FROM sessions UNION SELECT session FROM shots ORDER BY session');
        return rows.getRowsJS().map(([session]) => String(session));
      } finally {
        connection.closeSync();
      }
    } finally {
      instance.closeSync();
    }
  } catch (cause) {
    if (isLock(cause)) throw new StoreLockedError(path, cause);
    return undefined;
  }
}

function sync(path: string): void {
  const fd = openSync(path, 'r');
  try {
    fsyncSync(fd);
  } finally {
    closeSync(fd);
  }
}
