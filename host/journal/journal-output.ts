/**
 * Bytes to a file, so that what was accepted is either in the operating system or known not to be.
 *
 * While the disk refuses, what could not be written waits in memory, in order, and is tried again. Beyond
 * UNWRITTEN_BYTES_MAX the newest bytes are refused; nothing written later can make up for that, so from then on no
 * sync succeeds. The same holds after a failed sync: the system may have dropped the pages and would call the next
 * one a success.
 */
import type { JournalFile } from './journal-file.ts';

export const UNWRITTEN_BYTES_MAX = 64 * 1024 * 1024;

export class JournalOutput {
  readonly #file: JournalFile;
  readonly #unwrittenBytesMax: number;
  #waiting: Uint8Array[] = [];
  #waitingBytes = 0;
  #acceptedBytes = 0;
  #durableBytes = 0;
  #failure: Error | undefined;
  #lost: Error | undefined;

  constructor(file: JournalFile, unwrittenBytesMax = UNWRITTEN_BYTES_MAX) {
    this.#file = file;
    this.#unwrittenBytesMax = unwrittenBytesMax;
  }

  /** Bytes accepted so far: the place in the file of the next one. */
  get acceptedBytes(): number {
    return this.#acceptedBytes;
  }

  get unwrittenBytes(): number {
    return this.#waitingBytes;
  }

  get isDirty(): boolean {
    return this.#durableBytes < this.#acceptedBytes;
  }

  /** Why the last write failed, or why no sync can succeed any more. */
  get problem(): Error | undefined {
    return this.#lost ?? this.#failure;
  }

  /**
   * @param bytes  kept as they are while the disk refuses; not to be changed afterwards
   * @returns false where they were refused
   */
  accept(bytes: Uint8Array): boolean {
    if (this.#waitingBytes > 0) this.flush();
    if (this.#waitingBytes > 0 && this.#waitingBytes + bytes.length > this.#unwrittenBytesMax) {
      this.#lost ??= new Error(`records were lost: the disk took nothing and ${this.#waitingBytes} bytes were waiting for it`, {
        cause: this.#failure,
      });
      return false;
    }
    this.#waiting.push(bytes);
    this.#waitingBytes += bytes.length;
    this.#acceptedBytes += bytes.length;
    this.flush();
    return true;
  }

  /** Tries to hand over what waits. A write may be short; the rest follows in order. */
  flush(): void {
    try {
      for (let head = this.#waiting[0]; head !== undefined; head = this.#waiting[0]) {
        const written = this.#file.write(head);
        if (written <= 0) throw new Error('the system took no byte and gave no reason');
        this.#waitingBytes -= written;
        if (written === head.length) this.#waiting.shift();
        else this.#waiting[0] = head.subarray(written);
      }
      this.#failure = undefined;
    } catch (error) {
      this.#failure = error as Error;
    }
  }

  /** @throws Error (rejects) where not everything accepted before the call is on the disk */
  async datasync(): Promise<void> {
    this.flush();
    const problem = this.problem;
    if (problem !== undefined) throw new Error(`the journal is not safe on the disk: ${problem.message}`, { cause: problem });
    if (!this.isDirty) return;
    const covered = this.#acceptedBytes;
    try {
      await this.#file.datasync();
    } catch (error) {
      this.#lost ??= error as Error;
      throw error;
    }
    this.#durableBytes = Math.max(this.#durableBytes, covered);
  }

  close(): void {
    this.#file.close();
  }
}
