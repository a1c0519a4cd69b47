/**
 * A disk in memory that fails as told, with the session's files on it. Only what was synced is sure; what a failed sync
 * had covered is thrown away, as a system may do that has told of the error once.
 */
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import type { JournalFile } from '../../host/journal/index.ts';

const failure = (code: string): Error => Object.assign(new Error(`${code}: of the failing disk`), { code });

export class FailingDisk {
  /** By part. */
  readonly files = new Map<number, FailingFile>();
  /** Bytes that it still takes. */
  roomBytes = Number.POSITIVE_INFINITY;
  /** Codes of the system, empty where it succeeds. */
  fails: { write: string; sync: string; create: string } = { write: '', sync: '', create: '' };
  syncs = 0;

  create(part: number): JournalFile {
    if (this.fails.create !== '') throw failure(this.fails.create);
    if (this.files.has(part)) throw failure('EEXIST');
    const file = new FailingFile(this, () => this.files.delete(part));
    this.files.set(part, file);
    return file;
  }

  well(): void {
    this.roomBytes = Number.POSITIVE_INFINITY;
    this.fails = { write: '', sync: '', create: '' };
  }

  /** Leaves the files in a folder, as they would be found after a power cut (`synced`) or a kill (`written`). @returns path of the first part */
  leaveIn(folder: string, what: 'synced' | 'written', session = 'session'): string {
    for (const [part, file] of this.files) {
      const name = part === 1 ? `${session}.mcap` : `${session}.part${part}.mcap`;
      writeFileSync(path.join(folder, name), what === 'synced' ? file.bytes.subarray(0, file.syncedBytes) : file.bytes);
    }
    return path.join(folder, `${session}.mcap`);
  }
}

export class FailingFile implements JournalFile {
  bytes = Buffer.alloc(0);
  syncedBytes = 0;
  isClosed = false;
  readonly #disk: FailingDisk;
  readonly #remove: () => void;

  constructor(disk: FailingDisk, remove: () => void) {
    this.#disk = disk;
    this.#remove = remove;
  }

  write(bytes: Uint8Array): number {
    if (this.isClosed) throw failure('EBADF');
    if (this.#disk.fails.write !== '') throw failure(this.#disk.fails.write);
    const taken = Math.min(bytes.length, this.#disk.roomBytes);
    if (taken === 0) throw failure('ENOSPC');
    this.#disk.roomBytes -= taken;
    this.bytes = Buffer.concat([this.bytes, bytes.subarray(0, taken)]);
    return taken;
  }

  async datasync(): Promise<void> {
    this.#disk.syncs += 1;
    const covered = this.bytes.length;
    await new Promise((resolve) => setImmediate(resolve));
    if (this.#disk.fails.sync !== '') {
      this.bytes.fill(0, this.syncedBytes, covered);
      throw failure(this.#disk.fails.sync);
    }
    this.syncedBytes = covered;
  }

  close(): void {
    this.isClosed = true;
  }

  discard(): void {
    this.close();
    this.#remove();
  }
}
