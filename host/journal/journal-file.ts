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
  /** Resolves when everything written before the call is on the disk. */
  datasync(): Promise<void>;
  close(): void;
}

/**
 * @throws Error of the system; EEXIST where there is a file already: a journal is never written over
 */
export function createJournalFile(filePath: string): JournalFile {
  const fd = fs.openSync(filePath, 'ax');
  // The name itself must outlive a power cut too.
  const folderFd = fs.openSync(path.dirname(path.resolve(filePath)), 'r');
  try {
    fs.fsyncSync(folderFd);
  } finally {
    fs.closeSync(folderFd);
  }
  return {
    write: (bytes) => fs.writeSync(fd, bytes),
    datasync: () => new Promise((resolve, reject) => fs.fdatasync(fd, (error) => (error ? reject(error) : resolve()))),
    close: () => fs.closeSync(fd),
  };
}
