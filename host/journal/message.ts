/** One journal record as an MCAP message record with its own checksum, and back. */
import type { PosternRecord } from '../../protocol/index.ts';
import { crc32 } from './crc32.ts';
import { BODY_BYTES_MAX, KIND_CODES, KIND_OF_CODE, MESSAGE, OPCODE, RECORD_HEAD_BYTES, SOURCE_BYTES_MAX } from './layout.ts';
import { decodeBody, encodeBody } from './record-body.ts';

export interface MessagePlace {
  readonly channelId: number;
  /** 0 to 0xFFFFFFFF, then 0 again. */
  readonly sequence: number;
  readonly originUtcNs: bigint;
}

/**
 * @returns the whole MCAP record, its own memory
 * @throws RangeError where the record cannot be kept exactly: time no safe integer ≥ 0, source or content too long (caller's bug)
 */
export function encodeMessageRecord(record: PosternRecord, place: MessagePlace): Buffer {
  if (!Number.isSafeInteger(record.atNs) || record.atNs < 0) throw new RangeError(`atNs ${record.atNs}, expected a safe integer ≥ 0`);
  const source = Buffer.from(record.source, 'utf8');
  if (source.length > SOURCE_BYTES_MAX) throw new RangeError(`source of ${source.length} bytes, at most ${SOURCE_BYTES_MAX}`);
  if (source.toString('utf8') !== record.source) throw new RangeError('source is no well-formed text');
  const body = encodeBody(record);
  if (body.length > BODY_BYTES_MAX) throw new RangeError(`${record.kind} of ${body.length} bytes, at most ${BODY_BYTES_MAX}`);
  const bytes = Buffer.allocUnsafe(MESSAGE.source + source.length + body.length);
  const atNs = BigInt(record.atNs);
  const logTime = place.originUtcNs + atNs;
  bytes.writeUInt8(OPCODE.message, 0);
  bytes.writeBigUInt64LE(BigInt(bytes.length - RECORD_HEAD_BYTES), 1);
  bytes.writeUInt16LE(place.channelId, MESSAGE.channelId);
  bytes.writeUInt32LE(place.sequence, MESSAGE.sequence);
  bytes.writeBigUInt64LE(logTime, MESSAGE.logTime);
  bytes.writeBigUInt64LE(logTime, MESSAGE.publishTime);
  bytes.writeUInt32LE(place.sequence, MESSAGE.payloadSequence);
  bytes.writeBigUInt64LE(atNs, MESSAGE.atNs);
  bytes.writeUInt8(KIND_CODES[record.kind], MESSAGE.kind);
  bytes.writeUInt8(source.length, MESSAGE.sourceBytes);
  source.copy(bytes, MESSAGE.source);
  bytes.set(body, MESSAGE.source + source.length);
  bytes.writeUInt32LE(messageCrc(bytes), MESSAGE.crc);
  return bytes;
}

/**
 * Cheap look before the checksum is worth computing: what is written twice must be the same twice.
 * @param head  the first MESSAGE.source bytes of a record
 */
export function looksLikeMessage(head: Buffer): boolean {
  return (
    head.readUInt8(0) === OPCODE.message &&
    head.readUInt32LE(MESSAGE.sequence) === head.readUInt32LE(MESSAGE.payloadSequence) &&
    head.compare(head, MESSAGE.logTime, MESSAGE.publishTime, MESSAGE.publishTime, MESSAGE.crc) === 0 &&
    KIND_OF_CODE.has(head.readUInt8(MESSAGE.kind))
  );
}

export interface DecodedMessage {
  readonly sequence: number;
  /** UTC of session time 0. */
  readonly originUtcNs: bigint;
  readonly record: PosternRecord;
}

/**
 * @param bytes  a whole record that looks like a message; borrowed
 * @returns undefined where its checksum does not hold
 */
export function decodeMessageRecord(bytes: Buffer): DecodedMessage | undefined {
  if (bytes.readUInt32LE(MESSAGE.crc) !== messageCrc(bytes)) return undefined;
  const kind = KIND_OF_CODE.get(bytes.readUInt8(MESSAGE.kind));
  const bodyAt = MESSAGE.source + bytes.readUInt8(MESSAGE.sourceBytes);
  if (kind === undefined || bodyAt > bytes.length) return undefined;
  const source = bytes.toString('utf8', MESSAGE.source, bodyAt);
  const atNs = bytes.readBigUInt64LE(MESSAGE.atNs);
  const record = decodeBody(kind, Number(atNs), source, bytes.subarray(bodyAt));
  const originUtcNs = bytes.readBigUInt64LE(MESSAGE.logTime) - atNs;
  return record && { sequence: bytes.readUInt32LE(MESSAGE.sequence), originUtcNs, record };
}

function messageCrc(bytes: Buffer): number {
  return crc32(bytes.subarray(MESSAGE.payloadSequence), crc32(bytes.subarray(0, MESSAGE.crc)));
}
