/** What stands at one place of a journal, checked. */
import type { ByteWindow } from './byte-window.ts';
import { lostIn, sealHolds } from './container.ts';
import { DATA_END_BYTES, MESSAGE, MESSAGE_BYTES_MAX, OPCODE, RECORD_HEAD_BYTES, SEALED_BYTES_MAX } from './layout.ts';
import type { LostRecords } from './lost-records.ts';
import { type DecodedMessage, decodeMessageRecord, looksLikeMessage } from './message.ts';

export type Part =
  | ({ readonly what: 'message'; readonly bytes: Buffer } & DecodedMessage)
  /** A channel or metadata record whose seal holds; `lost` where it tells of records that could not be kept. */
  | { readonly what: 'sealed'; readonly bytes: Buffer; readonly lost?: LostRecords }
  /** Not sealed: whether it is what it seems must be known from elsewhere. */
  | { readonly what: 'data-end'; readonly bytes: Buffer; readonly dataCrc: number };

/** @returns the record at this offset, its bytes borrowed from the window; undefined where none is whole and sound */
export function partAt(window: ByteWindow, offset: number): Part | undefined {
  const bytesCount = framedBytes(window, offset);
  if (bytesCount === undefined) return undefined;
  const opcode = window.at(offset, 1)?.[0];
  switch (opcode) {
    case OPCODE.message: {
      if (bytesCount < MESSAGE.source || bytesCount > MESSAGE_BYTES_MAX) return undefined;
      const head = window.at(offset, MESSAGE.source);
      if (head === undefined || !looksLikeMessage(head)) return undefined;
      const bytes = window.at(offset, bytesCount);
      const message = bytes && decodeMessageRecord(bytes);
      return bytes && message && { what: 'message', bytes, ...message };
    }
    case OPCODE.channel:
    case OPCODE.metadata: {
      if (bytesCount > SEALED_BYTES_MAX) return undefined;
      const bytes = window.at(offset, bytesCount);
      if (!bytes || !sealHolds(bytes)) return undefined;
      const lost = opcode === OPCODE.metadata ? lostIn(bytes) : undefined;
      return lost ? { what: 'sealed', bytes, lost } : { what: 'sealed', bytes };
    }
    case OPCODE.dataEnd: {
      if (bytesCount !== DATA_END_BYTES) return undefined;
      const bytes = window.at(offset, bytesCount);
      return bytes && { what: 'data-end', bytes, dataCrc: bytes.readUInt32LE(RECORD_HEAD_BYTES) };
    }
    default:
      return undefined;
  }
}

/** @returns the length that a record here claims, its head included; undefined where no record of ours is so long or the file ends before */
export function framedBytes(window: ByteWindow, offset: number): number | undefined {
  const head = window.at(offset, RECORD_HEAD_BYTES);
  if (head === undefined || head.readUInt32LE(5) !== 0) return undefined;
  const bytesCount = RECORD_HEAD_BYTES + head.readUInt32LE(1);
  return bytesCount <= MESSAGE_BYTES_MAX && offset + bytesCount <= window.size ? bytesCount : undefined;
}

export interface ReadingPlace {
  /** Sequence number of the next message. */
  readonly expected: number;
  /** Where the messages end, where that is known. */
  readonly closingAt: number | undefined;
}

/**
 * The next place at which reading can go on after damage.
 * @param from  offset of the damaged record
 * @returns an offset with a sound record, `closingAt`, or the file's size
 */
export function resync(window: ByteWindow, from: number, place: ReadingPlace): number {
  // Where the length is sound, the record after it has the next number. Looking there first, and not inside the
  // damaged record, avoids taking for a record of ours what somebody sent over the wire in the shape of one.
  const framed = framedBytes(window, from);
  if (framed !== undefined) {
    const next = partAt(window, from + framed);
    const steps = next?.what === 'message' ? (next.sequence - place.expected) >>> 0 : undefined;
    if (steps === 0 || steps === 1) return from + framed;
  }
  const end = place.closingAt !== undefined && place.closingAt > from ? place.closingAt : window.size;
  for (let at = from + 1; at < end; at += 1) {
    at += untilCandidate(window.from(at));
    if (at < end && partAt(window, at) !== undefined) return at;
  }
  return end;
}

const STARTS = Uint8Array.from({ length: 256 }, (_, byte) =>
  byte === OPCODE.message || byte === OPCODE.channel || byte === OPCODE.metadata ? 1 : 0,
);

/** How many bytes before one that a sealed record or a message could begin with; all, where there is none. */
function untilCandidate(bytes: Buffer): number {
  // Local names: this loop may run over gigabytes.
  const starts = STARTS;
  const end = bytes.length;
  let i = 0;
  while (i < end && starts[bytes[i] as number] === 0) i += 1;
  return i;
}
