/**
 * Where the bytes of a journal lie. docs/journal.md is the specification; this is its table of numbers.
 *
 * A journal is an MCAP file without chunks. MCAP gives a message outside a chunk no checksum, so each of our messages
 * carries its own, over its header too, and says in itself all that is needed to read it: a lost channel record
 * costs nothing.
 */
import type { RecordKind } from '../../protocol/index.ts';

export const OPCODE = { header: 0x01, footer: 0x02, channel: 0x04, message: 0x05, metadata: 0x0c, dataEnd: 0x0f } as const;

/** Opcode and length before each MCAP record's content. */
export const RECORD_HEAD_BYTES = 9;
export const MAGIC_BYTES = 8;
export const DATA_END_BYTES = RECORD_HEAD_BYTES + 4;
export const FOOTER_BYTES = RECORD_HEAD_BYTES + 20;

/** Offsets inside a message record, from its opcode. */
export const MESSAGE = {
  channelId: 9,
  sequence: 11,
  logTime: 15,
  publishTime: 23,
  /** Start of the payload. The CRC is over every byte of the record but these four. */
  crc: 31,
  payloadSequence: 35,
  atNs: 39,
  kind: 47,
  sourceBytes: 48,
  source: 49,
} as const;

/** What one record may hold beside its source. A larger one is refused by the writer, so the reader's memory is bounded. */
export const BODY_BYTES_MAX = 16 * 1024 * 1024;
export const SOURCE_BYTES_MAX = 255;
export const MESSAGE_BYTES_MAX = MESSAGE.source + SOURCE_BYTES_MAX + BODY_BYTES_MAX;
/** A channel or metadata record of ours. */
export const SEALED_BYTES_MAX = 64 * 1024;

/** Numbers of the kinds on disk: never used again for another. */
export const KIND_CODES: Readonly<Record<RecordKind, number>> = { line: 1, reading: 2, link: 3, operator: 4, rig: 5, clock: 6 };
export const KIND_OF_CODE: ReadonlyMap<number, RecordKind> = new Map(
  Object.entries(KIND_CODES).map(([kind, code]) => [code, kind as RecordKind]),
);

export const JOURNAL_PROFILE = 'postern';
export const JOURNAL_LIBRARY = 'postern journal 1';
export const MESSAGE_ENCODING = 'postern-record-1';
/** Name of the metadata record that says which records were lost before the message after it. */
export const LOST_RECORDS = 'lost';
