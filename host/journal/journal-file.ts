/** What the writer needs of a file. Tests put a failing disk in its place. */
import fs from 'node:fs';
import path from 'node:path';

export interface JournalFile {
  /**
   * Appends; in the operating system's hands when it returns.
   * @returns how many bytes were taken, at least 1, perhaps fewer than given
   * @throws Error of the system, e.g. ENOSPC
   */
  write(bytes: Uint8Array): number;
  /** Resolves when everything written before the call is on the disk, under the file's name. */
  datasync(): Promise<void>;
  close(): void;
  /** Closes it and takes it away, as far as the system lets it: for a file in which nothing was ever promised. */
  discard?(): void;
}

/**
 * Makes a further file of the same session, after trouble with the one before.
 * @param part  2, 3, …
 * @throws Error of the system where it cannot be made now; EEXIST where there is one, which is never written over
 */
export type CreatePart = (part: number) => JournalFile;

/**
 * @throws Error of the system; EEXIST where there is a file already: a journal is never written over
 */
export function createJournalFile(filePath: string): JournalFile {
  const fd = fs.openSync(filePath, 'ax');
  try {
    syncFolder(path.dirname(path.resolve(filePath)));
  } catch (error) {
    fs.closeSync(fd);
    fs.rmSync(filePath, { force: true });
    throw error;
  }
  const identity = fs.fstatSync(fd);
  return {
    write: (bytes) => fs.writeSync(fd, bytes),
    datasync: async () => {
      await new Promise<void>((resolve, reject) => fs.fdatasync(fd, (error) => (error ? reject(error) : resolve())));
      // A file that was deleted, or whose disk was taken away, takes bytes as ever; nobody will find them.
      const named = await fs.promises.stat(filePath);
      if (named.ino !== identity.ino || named.dev !== identity.dev) throw new Error(`${filePath} is another file now`);
    },
    close: () => fs.closeSync(fd),
    discard: () => {
      try {
        fs.closeSync(fd);
      } finally {
        fs.rmSync(filePath, { force: true });
      }
    },
  };
}

/** A new name must outlive a power cut too. */
function syncFolder(folder: string): void {
  const fd = fs.openSync(folder, 'r');
  try {
    fs.fsyncSync(fd);
  } finally {
    fs.closeSync(fd);
  }
}
