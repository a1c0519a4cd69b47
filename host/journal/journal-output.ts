/**
 * Entries to a file, so that what was accepted is on the disk, or in memory to be written again.
 *
 * An entry is kept until a sync has succeeded after it, normally for a quarter of a second. While the disk is full,
 * what could not be written waits, in order, and the same file goes on. After any other failed write, and after a failed
 * sync, that file is not trusted again (the system may have dropped its pages and would call the next sync a
 * success): a new part is begun, with everything that is kept. Beyond `keptBytesMax` the newest entries are refused.
 */
import type { CreatePart, JournalFile } from './journal-file.ts';
import { type JournalEntry, OpenPart } from './open-part.ts';

export const KEPT_BYTES_MAX = 64 * 1024 * 1024;

export interface OutputPorts {
  readonly createPart?: CreatePart | undefined;
  /** What a new part begins with. @param fromSequence  of its first message that is not told again; undefined: none yet */
  readonly preamble: (part: number, fromSequence: number | undefined) => readonly JournalEntry[];
  readonly keptBytesMax?: number | undefined;
}

/** The file goes on as soon as there is room. */
const FULL = new Set(['ENOSPC', 'EDQUOT', 'EAGAIN', 'EINTR']);

export class JournalOutput {
  readonly #ports: OutputPorts;
  readonly #keptBytesMax: number;
  #partNumber = 1;
  /** Undefined from the failure of one file to the beginning of the next. */
  #part: OpenPart | undefined;
  /** Entries not known to be on the disk, oldest first. */
  #kept: JournalEntry[];
  #keptBytes: number;
  /** How many of them the present part has taken whole… */
  #written = 0;
  #writtenBytes = 0;
  /** …and how many were its beginning, of its own. */
  #preambleCount: number;
  /** Something of it has been synced, or it is the first. */
  #isEstablished = true;
  /** Counts what has left `#kept` at its front. */
  #passed = 0;
  #acceptedBytes = 0;
  #failure: Error | undefined;
  /** Why no sync can succeed any more. */
  #doubt: Error | undefined;
  /** Written entries that could not be kept until they were synced. */
  #forgotten = false;

  constructor(file: JournalFile, ports: OutputPorts) {
    this.#ports = ports;
    this.#keptBytesMax = ports.keptBytesMax ?? KEPT_BYTES_MAX;
    this.#part = new OpenPart(file);
    this.#kept = [...ports.preamble(1, undefined)];
    this.#preambleCount = this.#kept.length;
    this.#keptBytes = bytesOf(this.#kept);
    this.#acceptedBytes = this.#keptBytes;
    this.flush();
  }

  /** Of all parts together, those included that a failing disk has not taken yet. */
  get acceptedBytes(): number {
    return this.#acceptedBytes;
  }

  /** Bytes that no file has taken. */
  get unwrittenBytes(): number {
    return this.#keptBytes - this.#writtenBytes - (this.#part?.takenBytes ?? 0);
  }

  /** Bytes not known to be on the disk, those that no file has taken included. */
  get unsyncedBytes(): number {
    return this.#keptBytes;
  }

  /** Why the last write or sync failed, or why none can succeed any more. */
  get problem(): Error | undefined {
    return this.#doubt ?? this.#failure;
  }

  /**
   * @param entry  its bytes are kept as they are; not to be changed afterwards
   * @returns false where it was refused
   */
  accept(entry: JournalEntry): boolean {
    if (this.unwrittenBytes > 0) this.flush();
    if (!this.#makeRoom(entry.bytes.length)) return false;
    this.#kept.push(entry);
    this.#keptBytes += entry.bytes.length;
    this.#acceptedBytes += entry.bytes.length;
    this.flush();
    return true;
  }

  /** Tries to hand over what waits. */
  flush(): void {
    const part = this.#part;
    if (!part) return;
    try {
      for (let entry = this.#kept[this.#written]; entry !== undefined; entry = this.#kept[this.#written]) {
        part.write(entry);
        this.#written += 1;
        this.#writtenBytes += entry.bytes.length;
      }
      this.#failure = undefined;
    } catch (error) {
      this.#failure = error as Error;
      if (!FULL.has((error as NodeJS.ErrnoException).code ?? '')) this.#breakOff(part);
    }
  }

  /** @throws Error (rejects) where not everything accepted before the call is on the disk */
  async datasync(): Promise<void> {
    if (!this.#part) this.#beginPart();
    this.flush();
    const part = this.#part;
    if (this.#failure !== undefined || !part) throw notSafe(this.#failure);
    if (this.#kept.length > 0) await this.#sync(part);
    if (this.#doubt !== undefined) throw notSafe(this.#doubt);
  }

  async #sync(part: OpenPart): Promise<void> {
    const covered = this.#passed + this.#kept.length;
    try {
      await part.file.datasync();
    } catch (error) {
      this.#failure = error as Error;
      if (this.#part === part) this.#breakOff(part);
      throw notSafe(error as Error);
    }
    // What was broken off meanwhile is written again; it was safe all the same.
    if (this.#part !== part) return;
    this.#isEstablished = true;
    this.#pass(covered - this.#passed);
    this.#forgotten = false;
  }

  /** Writes the end of the present part and puts it on the disk. @throws Error (rejects) where that failed */
  async end(): Promise<void> {
    // Whatever is still to be written comes before it; a broken part is followed by a new one first.
    await this.datasync();
    const part = this.#part;
    if (!part) return;
    const closing = part.closingEntry();
    this.#acceptedBytes += closing.bytes.length;
    part.write(closing);
    await part.file.datasync();
  }

  close(): void {
    this.#part?.file.close();
    this.#part = undefined;
  }

  #makeRoom(bytes: number): boolean {
    // What the file has taken is only kept in case its sync should fail.
    while (this.#keptBytes + bytes > this.#keptBytesMax && this.#written > 0) {
      this.#pass(1);
      this.#forgotten = true;
    }
    return this.#keptBytes === 0 || this.#keptBytes + bytes <= this.#keptBytesMax;
  }

  /** The oldest so many need not be kept any longer. */
  #pass(count: number): void {
    if (count <= 0) return;
    const bytes = bytesOf(this.#kept.splice(0, count));
    this.#passed += count;
    this.#keptBytes -= bytes;
    this.#written -= count;
    this.#writtenBytes -= bytes;
    this.#preambleCount = Math.max(0, this.#preambleCount - count);
  }

  #breakOff(part: OpenPart): void {
    // Without another file there is nothing better than to go on with this one, and to promise nothing.
    if (!this.#ports.createPart) {
      this.#doubt ??= this.#failure;
      return;
    }
    // What was not kept cannot be written again, and nobody knows what of it the old file has.
    if (this.#forgotten) this.#doubt ??= this.#failure;
    this.#part = undefined;
    if (this.#isEstablished) closeQuietly(part.file);
    else {
      // All that is in it is kept here. A disk that fails for hours is not to be strewn with beginnings.
      discardQuietly(part.file);
      this.#partNumber -= 1;
    }
    this.#kept = this.#kept.slice(this.#preambleCount);
    this.#keptBytes = bytesOf(this.#kept);
    this.#preambleCount = 0;
    this.#written = 0;
    this.#writtenBytes = 0;
  }

  #beginPart(): void {
    const { createPart, preamble } = this.#ports;
    if (!createPart) return;
    const number = this.#partNumber + 1;
    let file: JournalFile;
    try {
      file = createPart(number);
    } catch (error) {
      // What could not be taken away is not written over either: the next name, next time.
      if ((error as NodeJS.ErrnoException).code === 'EEXIST') this.#partNumber = number;
      this.#failure = error as Error;
      return;
    }
    const beginning = preamble(number, this.#kept.find(({ message }) => message)?.message?.sequence);
    this.#partNumber = number;
    this.#part = new OpenPart(file);
    this.#isEstablished = false;
    this.#kept = [...beginning, ...this.#kept];
    this.#preambleCount = beginning.length;
    this.#keptBytes += bytesOf(beginning);
    this.flush();
    // On a full disk a beginning in pieces would be no journal.
    if (this.#part && this.#written < this.#preambleCount) this.#breakOff(this.#part);
  }
}

const bytesOf = (entries: readonly JournalEntry[]): number => entries.reduce((sum, { bytes }) => sum + bytes.length, 0);

function closeQuietly(file: JournalFile): void {
  try {
    file.close();
  } catch {
    // Its trouble is told already.
  }
}

function discardQuietly(file: JournalFile): void {
  try {
    if (file.discard) file.discard();
    else file.close();
  } catch {
    // It stays; its name is taken then, and the next one is tried.
  }
}

const notSafe = (cause: Error | undefined): Error =>
  new Error(`the journal is not safe on the disk: ${cause?.message ?? 'no file'}`, { cause });
