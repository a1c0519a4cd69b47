/**
 * Writes a session's records, one `write` of the operating system a record: once `append` has returned, the record
 * survives `kill -9` of this process; once a later `sync` has resolved, power loss too.
 */
import type { PosternRecord } from '../../protocol/index.ts';
import { channelRecord, FIRST_BYTES, type JournalHead, lostRecord, sessionRecord } from './container.ts';
import { type CreatePart, createJournalFile, type JournalFile } from './journal-file.ts';
import { JournalOutput } from './journal-output.ts';
import { LOST_RECORDS } from './layout.ts';
import { type LostRecords, withLost } from './lost-records.ts';
import { encodeMessageRecord } from './message.ts';
import type { JournalEntry } from './open-part.ts';
import { partPath } from './part-names.ts';

export const SYNC_EVERY_MS = 250;
/** While the disk refuses it is tried ever more seldom, down to this. */
const RETRY_MS_MAX = 2000;
const CHANNELS_MAX = 0xffff;

/** Told when trouble begins, changes or ends, and at each sync with more records lost; the data path is never interrupted by it. */
export interface JournalProblem {
  /** What the system says; empty where the trouble is over. */
  readonly message: string;
  /** Kept in memory until the disk takes them. */
  readonly unwrittenBytes: number;
  /** Records that could not be kept, in the whole session. */
  readonly recordsLost: number;
  /** From the first of them to the last, where there are any. */
  readonly lost?: LostRecords;
}

export interface JournalWriterPorts {
  readonly onProblem?: (problem: JournalProblem) => void;
  readonly unwrittenBytesMax?: number;
  /** Where the session goes on when its file cannot be trusted any more; left out: nowhere. */
  readonly createPart?: CreatePart;
}

interface Channel {
  readonly id: number;
  readonly topic: string;
}

export class JournalWriter {
  readonly #output: JournalOutput;
  readonly #head: JournalHead;
  readonly #onProblem: (problem: JournalProblem) => void;
  readonly #channels = new Map<string, Channel>();
  /** What every part must hold to be read alone: the first clock anchor, the newest rig file. */
  readonly #openings = new Map<'clock' | 'rig', JournalEntry>();
  #sequence = 0;
  #lost: LostRecords | undefined;
  /** Of those, what the file does not tell yet. */
  #untoldLost: LostRecords | undefined;
  #toldProblem = '';
  #toldLost = 0;
  #running: Promise<void> = Promise.resolve();
  #next: Promise<void> | undefined;
  #timer: NodeJS.Timeout | undefined;
  #waitMs = SYNC_EVERY_MS;
  #syncedMs = performance.now();
  #closing: Promise<void> | undefined;

  /**
   * @param path  of the new file; further parts are made beside it
   * @throws Error of the system where the file cannot be made, e.g. EEXIST
   */
  static create(path: string, head: JournalHead, ports: JournalWriterPorts = {}): JournalWriter {
    const createPart = (part: number): JournalFile => createJournalFile(partPath(path, part));
    return JournalWriter.over(createJournalFile(path), head, { createPart, ...ports });
  }

  /** The same over any file. */
  static over(file: JournalFile, head: JournalHead, ports: JournalWriterPorts = {}): JournalWriter {
    return new JournalWriter(file, head, ports);
  }

  private constructor(file: JournalFile, head: JournalHead, ports: JournalWriterPorts) {
    this.#head = head;
    this.#onProblem = ports.onProblem ?? (() => {});
    const { createPart, unwrittenBytesMax: keptBytesMax } = ports;
    this.#output = new JournalOutput(file, { createPart, keptBytesMax, preamble: (part, from) => this.#preamble(part, from) });
    this.#afterWriting();
  }

  /** Bytes of the journal so far, those included that a failing disk has not taken yet. */
  get bytesWritten(): number {
    return this.#output.acceptedBytes;
  }

  /** Bytes not known to be on the disk. */
  get unsyncedBytes(): number {
    return this.#output.unsyncedBytes;
  }

  /** Since the beginning of the last sync that succeeded, or since the journal was made, s. */
  get sinceSyncS(): number {
    return (performance.now() - this.#syncedMs) / 1000;
  }

  /** How it is now; its message is empty while all is well. */
  get problem(): JournalProblem {
    return {
      message: this.#output.problem?.message ?? '',
      unwrittenBytes: this.#output.unwrittenBytes,
      recordsLost: this.#lost?.records ?? 0,
      ...(this.#lost ? { lost: this.#lost } : {}),
    };
  }

  /**
   * In the operating system's hands when it returns; where the disk refuses, kept in memory and told by `onProblem`.
   * @returns false where it could not be kept: it is lost to the journal, under its number
   * @throws RangeError where the record cannot be kept exactly (caller's bug)
   * @throws Error after `close` (caller's bug)
   */
  append(record: PosternRecord): boolean {
    if (this.#closing !== undefined) throw new Error('append after close');
    const topic = `${record.source}/${record.kind}`;
    const known = this.#channels.get(topic);
    const channel = known ?? { id: this.#channels.size + 1, topic };
    if (channel.id > CHANNELS_MAX) throw new RangeError(`more than ${CHANNELS_MAX} pairs of source and kind`);
    const sequence = this.#sequence;
    const bytes = encodeMessageRecord(record, { channelId: channel.id, sequence, originUtcNs: this.#head.originUtcNs });
    const message = { channelId: channel.id, topic, sequence, logTimeNs: this.#head.originUtcNs + BigInt(record.atNs) };
    const isKept = this.#output.accept(this.#withWhatComesBefore({ bytes, message }, known ? undefined : channel));
    // A number that is missing tells the reader that a record is missing.
    this.#sequence = (sequence + 1) >>> 0;
    if (isKept) {
      this.#untoldLost = undefined;
      this.#channels.set(topic, channel);
      if (record.kind === 'rig' || (record.kind === 'clock' && !this.#openings.has('clock')))
        this.#openings.set(record.kind, { bytes, message });
    } else {
      this.#lost = withLost(this.#lost, sequence, record);
      this.#untoldLost = withLost(this.#untoldLost, sequence, record);
    }
    this.#afterWriting();
    return isKept;
  }

  /**
   * Resolves when all that was appended before the call, and not refused, is on the disk. Calls made while one is under
   * way share the next.
   * @throws Error (rejects) while that cannot be said
   */
  sync(): Promise<void> {
    if (this.#closing !== undefined) return this.#closing;
    this.#next ??= this.#running
      .catch(() => {})
      .then(() => {
        this.#next = undefined;
        this.#running = this.#datasync();
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
    try {
      await this.#output.end();
    } finally {
      this.#tellProblem({ atSync: true });
      this.#output.close();
    }
    if (this.#lost)
      throw new Error(`${this.#lost.records} records were lost: the disk took nothing, and more waited for it than memory is kept for`);
  }

  async #datasync(): Promise<void> {
    const begunMs = performance.now();
    try {
      await this.#output.datasync();
      this.#syncedMs = begunMs;
    } finally {
      this.#tellProblem({ atSync: true });
    }
  }

  #withWhatComesBefore(entry: JournalEntry, channel: Channel | undefined): JournalEntry {
    const lost = this.#untoldLost ? lostRecord(this.#untoldLost) : undefined;
    if (!lost && !channel) return entry;
    const before = [...(lost ? [lost] : []), ...(channel ? [channelRecord(channel.id, channel.topic)] : [])];
    const metadata = lost ? { metadata: { name: LOST_RECORDS, offset: 0, bytes: lost.length } } : {};
    return { ...entry, ...metadata, bytes: Buffer.concat([...before, entry.bytes]) };
  }

  #preamble(part: number, fromKept: number | undefined): readonly JournalEntry[] {
    const fromSequence = fromKept ?? this.#sequence;
    const session = sessionRecord(this.#head, part === 1 ? undefined : { part, fromSequence });
    const channels = [...this.#channels.values()].map(({ id, topic }) => channelRecord(id, topic));
    const first: JournalEntry = {
      bytes: Buffer.concat([FIRST_BYTES, session, ...channels]),
      metadata: { name: 'session', offset: FIRST_BYTES.length, bytes: session.length },
    };
    const openings = [...this.#openings.values()].filter(({ message }) => message !== undefined && message.sequence < fromSequence);
    return [first, ...openings.sort((a, b) => (a.message?.sequence ?? 0) - (b.message?.sequence ?? 0))];
  }

  #afterWriting(): void {
    this.#tellProblem({ atSync: false });
    this.#timer ??= setTimeout(() => this.#syncInBackground(), this.#waitMs).unref();
  }

  #syncInBackground(): void {
    this.#timer = undefined;
    // A failure is told by onProblem; while there is one, the timer goes on trying.
    this.sync().then(
      () => {
        this.#waitMs = SYNC_EVERY_MS;
      },
      () => {
        this.#waitMs = Math.min(2 * this.#waitMs, RETRY_MS_MAX);
        if (this.#closing === undefined) this.#timer ??= setTimeout(() => this.#syncInBackground(), this.#waitMs).unref();
      },
    );
  }

  #tellProblem(when: { readonly atSync: boolean }): void {
    const { problem } = this;
    const { message, recordsLost } = problem;
    const isFirstLost = recordsLost > 0 && this.#toldLost === 0;
    if (message === this.#toldProblem && !isFirstLost && !(when.atSync && recordsLost > this.#toldLost)) return;
    this.#toldProblem = message;
    this.#toldLost = recordsLost;
    this.#onProblem(problem);
  }
}
