/** One file of a journal while it is written: takes entries, and keeps what its end must say of them. */
import { closingBytes } from './container.ts';
import { crc32 } from './crc32.ts';
import type { JournalFile } from './journal-file.ts';

/** Bytes that stand or fall together, at most one message among them. */
export interface JournalEntry {
  readonly bytes: Buffer;
  readonly message?: { readonly channelId: number; readonly topic: string; readonly sequence: number; readonly logTimeNs: bigint };
  /** A metadata record in it; its offset is within the entry. */
  readonly metadata?: { readonly name: string; readonly offset: number; readonly bytes: number };
}

interface Channel {
  readonly topic: string;
  messageCount: bigint;
}

export class OpenPart {
  readonly file: JournalFile;
  #dataBytes = 0;
  #dataCrc = 0;
  /** Of the entry in hand, bytes that the file has taken already. */
  #taken = 0;
  readonly #channels = new Map<number, Channel>();
  readonly #metadata: { readonly name: string; readonly offset: number; readonly bytes: number }[] = [];
  #firstNs: bigint | undefined;
  #lastNs: bigint | undefined;

  constructor(file: JournalFile) {
    this.file = file;
  }

  /** Bytes of the entry in hand that stand in the file already. */
  get takenBytes(): number {
    return this.#taken;
  }

  /**
   * A write may be short; the rest follows. After a failure the same entry must be given again.
   * @throws Error of the system
   */
  write(entry: JournalEntry): void {
    const { bytes, message, metadata } = entry;
    while (this.#taken < bytes.length) {
      const written = this.file.write(bytes.subarray(this.#taken));
      if (written <= 0) throw new Error('the system took no byte and gave no reason');
      this.#taken += written;
    }
    this.#taken = 0;
    if (metadata) this.#metadata.push({ ...metadata, offset: this.#dataBytes + metadata.offset });
    this.#dataBytes += bytes.length;
    this.#dataCrc = crc32(bytes, this.#dataCrc);
    if (!message) return;
    const channel = this.#channels.get(message.channelId) ?? { topic: message.topic, messageCount: 0n };
    channel.messageCount += 1n;
    this.#channels.set(message.channelId, channel);
    if (this.#firstNs === undefined || message.logTimeNs < this.#firstNs) this.#firstNs = message.logTimeNs;
    if (this.#lastNs === undefined || message.logTimeNs > this.#lastNs) this.#lastNs = message.logTimeNs;
  }

  /** Of a file that is to be closed in order: everything after its last message. */
  closingEntry(): JournalEntry {
    const bytes = closingBytes({
      dataBytes: this.#dataBytes,
      dataCrc: this.#dataCrc,
      channels: [...this.#channels].map(([id, channel]) => ({ id, ...channel })),
      metadata: this.#metadata,
      timesNs: [this.#firstNs ?? 0n, this.#lastNs ?? 0n],
    });
    return { bytes };
  }
}
