/**
 * Writes a session's records, one `write` of the operating system a record: once `append` has returned, the record
 * survives `kill -9` of this process; once a later `sync` has resolved, power loss too.
 */
import type { PosternRecord } from '../../protocol/index.ts';
import { channelRecord, closingBytes, FIRST_BYTES, type JournalHead, sessionRecord } from './container.ts';
import { crc32 } from './crc32.ts';
import { createJournalFile, type JournalFile } from './journal-file.ts';
import { JournalOutput } from './journal-output.ts';
import { encodeMessageRecord } from './message.ts';

export const SYNC_EVERY_MS = 250;
const CHANNELS_MAX = 0xffff;

/** Told when trouble begins, changes or ends, and at each sync with more records lost; the data path is never interrupted by it. */
export interface JournalProblem {
  /** What the system says; empty where the trouble is over. */
  readonly message: string;
  /** Kept in memory until the disk takes them. */
  readonly unwrittenBytes: number;
  /** Records that could not be kept. */
  readonly recordsLost: number;
}

export interface JournalWriterPorts {
  readonly onProblem?: (problem: JournalProblem) => void;
  readonly unwrittenBytesMax?: number;
}

interface Channel {
  readonly id: number;
  readonly topic: string;
  messageCount: bigint;
}

export class JournalWriter {
  readonly #output: JournalOutput;
  readonly #originUtcNs: bigint;
  readonly #session: { readonly offset: number; readonly bytes: number };
  readonly #onProblem: (problem: JournalProblem) => void;
  readonly #channels = new Map<string, Channel>();
  #dataCrc = 0;
  #sequence = 0;
  #recordsLost = 0;
  #firstNs: bigint | undefined;
  #lastNs: bigint | undefined;
  #toldProblem = '';
  #toldLost = 0;
  #running: Promise<void> = Promise.resolve();
  #next: Promise<void> | undefined;
  #timer: NodeJS.Timeout | undefined;
  #closing: Promise<void> | undefined;

  /**
   * @param path  of the new file
   * @throws Error of the system where the file cannot be made, e.g. EEXIST
   */
  static create(path: string, head: JournalHead, ports: JournalWriterPorts = {}): JournalWriter {
    return JournalWriter.over(createJournalFile(path), head, ports);
  }

  /** The same over any file. */
  static over(file: JournalFile, head: JournalHead, ports: JournalWriterPorts = {}): JournalWriter {
    return new JournalWriter(file, head, ports);
  }

  private constructor(file: JournalFile, head: JournalHead, ports: JournalWriterPorts) {
    this.#output = new JournalOutput(file, ports.unwrittenBytesMax);
    this.#originUtcNs = head.originUtcNs;
    this.#onProblem = ports.onProblem ?? (() => {});
    const session = sessionRecord(head);
    this.#session = { offset: FIRST_BYTES.length, bytes: session.length };
    this.#accept(Buffer.concat([FIRST_BYTES, session]));
    this.#afterWriting();
  }

  /** Bytes of the journal so far, those included that a failing disk has not taken yet. */
  get bytesWritten(): number {
    return this.#output.acceptedBytes;
  }

  /**
   * In the operating system's hands when it returns; where the disk refuses, kept in memory and told by `onProblem`.
   * @throws RangeError where the record cannot be kept exactly (caller's bug)
   * @throws Error after `close` (caller's bug)
   */
  append(record: PosternRecord): void {
    if (this.#closing !== undefined) throw new Error('append after close');
    const topic = `${record.source}/${record.kind}`;
    const known = this.#channels.get(topic);
    const channel = known ?? { id: this.#channels.size + 1, topic, messageCount: 0n };
    if (channel.id > CHANNELS_MAX) throw new RangeError(`more than ${CHANNELS_MAX} pairs of source and kind`);
    const message = encodeMessageRecord(record, { channelId: channel.id, sequence: this.#sequence, originUtcNs: this.#originUtcNs });
    const accepted = this.#accept(known ? message : Buffer.concat([channelRecord(channel.id, topic), message]));
    // A number that is missing tells the reader that a record is missing.
    this.#sequence = (this.#sequence + 1) >>> 0;
    if (accepted) {
      this.#channels.set(topic, channel);
      channel.messageCount += 1n;
      const logTimeNs = this.#originUtcNs + BigInt(record.atNs);
      if (this.#firstNs === undefined || logTimeNs < this.#firstNs) this.#firstNs = logTimeNs;
      if (this.#lastNs === undefined || logTimeNs > this.#lastNs) this.#lastNs = logTimeNs;
    } else this.#recordsLost += 1;
    this.#afterWriting();
  }

  /**
   * Resolves when all that was appended before the call is on the disk. Calls made while one is under way share the next.
   * @throws Error (rejects) while that cannot be said
   */
  sync(): Promise<void> {
    if (this.#closing !== undefined) return this.#closing;
    this.#next ??= this.#running
      .catch(() => {})
      .then(() => {
        this.#next = undefined;
        this.#running = this.#output.datasync().finally(() => this.#tellProblem({ atSync: true }));
        return this.#running;
      });
    return this.#next;
  }

  /**
   * Ends the file with its index and puts it on the disk.
   * @throws Error (rejects) where that failed or records were lost before; the file is closed all the same, and read as after a crash
   */
  close(): Promise<void> {
    this.#closing ??= this.#close();
    return this.#closing;
  }

  async #close(): Promise<void> {
    clearTimeout(this.#timer);
    await this.#next?.catch(() => {});
    await this.#running.catch(() => {});
    const closing = closingBytes({
      dataBytes: this.#output.acceptedBytes,
      dataCrc: this.#dataCrc,
      channels: [...this.#channels.values()],
      session: this.#session,
      timesNs: [this.#firstNs ?? 0n, this.#lastNs ?? 0n],
    });
    try {
      this.#output.accept(closing);
      await this.#output.datasync();
    } finally {
      this.#tellProblem({ atSync: true });
      this.#output.close();
    }
  }

  #accept(bytes: Buffer): boolean {
    if (!this.#output.accept(bytes)) return false;
    this.#dataCrc = crc32(bytes, this.#dataCrc);
    return true;
  }

  #afterWriting(): void {
    this.#tellProblem({ atSync: false });
    this.#timer ??= setTimeout(() => this.#syncInBackground(), SYNC_EVERY_MS).unref();
  }

  #syncInBackground(): void {
    this.#timer = undefined;
    // A failure is told by onProblem; while there is one, the timer goes on trying.
    this.sync().then(
      () => {},
      () => {
        if (this.#closing === undefined) this.#timer ??= setTimeout(() => this.#syncInBackground(), SYNC_EVERY_MS).unref();
      },
    );
  }

  #tellProblem(when: { readonly atSync: boolean }): void {
    const message = this.#output.problem?.message ?? '';
    if (message === this.#toldProblem && !(when.atSync && this.#recordsLost > this.#toldLost)) return;
    this.#toldProblem = message;
    this.#toldLost = this.#recordsLost;
    this.#onProblem({ message, unwrittenBytes: this.#output.unwrittenBytes, recordsLost: this.#recordsLost });
  }
}
