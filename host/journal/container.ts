/**
 * The MCAP records around the messages, through the open library's own record builder.
 *
 * MCAP gives channel and metadata records no checksum either. Ours end with an entry `crc32`: eight hexadecimal digits,
 * the CRC-32 of all the record's bytes before them.
 */
import { McapRecordBuilder, McapStreamReader } from '@mcap/core';
import { WIRE } from '../../protocol/index.ts';
import { crc32 } from './crc32.ts';
import { JOURNAL_LIBRARY, JOURNAL_PROFILE, LOST_RECORDS, MESSAGE_ENCODING } from './layout.ts';
import { type LostRecords, lostEntries, lostFromEntries } from './lost-records.ts';

export interface JournalHead {
  readonly sessionId: string;
  /** UTC of session time 0, ns since 1970-01-01T00:00:00Z. */
  readonly originUtcNs: bigint;
  readonly softwareVersion: string;
}

export interface JournalChannel {
  readonly id: number;
  readonly topic: string;
  readonly messageCount: bigint;
}

const SEAL_KEY = 'crc32';
const SEAL_CHARS = 8;

function built(write: (builder: McapRecordBuilder) => void): Buffer {
  const builder = new McapRecordBuilder();
  write(builder);
  return Buffer.from(builder.buffer);
}

function sealed(
  entries: readonly (readonly [string, string])[],
  write: (builder: McapRecordBuilder, all: Map<string, string>) => void,
): Buffer {
  const bytes = built((builder) => write(builder, new Map([...entries, [SEAL_KEY, '0'.repeat(SEAL_CHARS)]])));
  const sealAt = bytes.length - SEAL_CHARS;
  bytes.write(crc32(bytes.subarray(0, sealAt)).toString(16).padStart(SEAL_CHARS, '0'), sealAt, 'latin1');
  return bytes;
}

/** True where a channel or metadata record is as we wrote it. */
export function sealHolds(bytes: Buffer): boolean {
  const sealAt = bytes.length - SEAL_CHARS;
  if (sealAt < 0) return false;
  return bytes.toString('latin1', sealAt) === crc32(bytes.subarray(0, sealAt)).toString(16).padStart(SEAL_CHARS, '0');
}

/** @returns undefined where a sound metadata record is another than that of lost records */
export function lostIn(bytes: Buffer): LostRecords | undefined {
  const reader = new McapStreamReader({ noMagicPrefix: true });
  reader.append(bytes);
  const record = reader.nextRecord();
  return record?.type === 'Metadata' && record.name === LOST_RECORDS ? lostFromEntries(record.metadata) : undefined;
}

/** Magic and header: the same bytes in every journal. */
export const FIRST_BYTES: Buffer = built((builder) => {
  builder.writeMagic();
  builder.writeHeader({ profile: JOURNAL_PROFILE, library: JOURNAL_LIBRARY });
});

/** What a further part of a session's journal says of itself. */
export interface Continuation {
  /** 2, 3, … */
  readonly part: number;
  /** Records from this number on stand in it; those before it are in the parts before. */
  readonly fromSequence: number;
}

export function sessionRecord(head: JournalHead, continuation?: Continuation): Buffer {
  const entries: (readonly [string, string])[] = [
    ['sessionId', head.sessionId],
    ['originUtcNs', String(head.originUtcNs)],
    ['softwareVersion', head.softwareVersion],
    ['protocolVersion', String(WIRE.protocolVersion)],
  ];
  if (continuation) entries.push(['part', String(continuation.part)], ['fromSequence', String(continuation.fromSequence)]);
  return sealed(entries, (builder, metadata) => builder.writeMetadata({ name: 'session', metadata }));
}

export const lostRecord = (lost: LostRecords): Buffer =>
  sealed(lostEntries(lost), (builder, metadata) => builder.writeMetadata({ name: LOST_RECORDS, metadata }));

export function channelRecord(id: number, topic: string): Buffer {
  return sealed([], (builder, metadata) => {
    builder.writeChannel({ id, schemaId: 0, topic, messageEncoding: MESSAGE_ENCODING, metadata });
  });
}

/**
 * Everything after the last message of a journal that is closed: end of data, summary with its offsets, footer.
 * @param dataCrc  of all bytes of the file so far
 * @param dataBytes  how many they are
 */
export function closingBytes(end: {
  readonly dataBytes: number;
  readonly dataCrc: number;
  readonly channels: readonly JournalChannel[];
  /** The metadata records, in the file's order. */
  readonly metadata: readonly { readonly name: string; readonly offset: number; readonly bytes: number }[];
  readonly timesNs: readonly [bigint, bigint];
}): Buffer {
  const dataEnd = built((builder) => builder.writeDataEnd({ dataSectionCrc: end.dataCrc }));
  const groups: readonly { readonly opcode: number; readonly bytes: Buffer }[] = [
    { opcode: 0x04, bytes: Buffer.concat(end.channels.map(({ id, topic }) => channelRecord(id, topic))) },
    {
      opcode: 0x0b,
      bytes: built((builder) => {
        builder.writeStatistics({
          messageCount: end.channels.reduce((sum, channel) => sum + channel.messageCount, 0n),
          schemaCount: 0,
          channelCount: end.channels.length,
          attachmentCount: 0,
          metadataCount: end.metadata.length,
          chunkCount: 0,
          messageStartTime: end.timesNs[0],
          messageEndTime: end.timesNs[1],
          channelMessageCounts: new Map(end.channels.map(({ id, messageCount }) => [id, messageCount])),
        });
      }),
    },
    {
      opcode: 0x0d,
      bytes: built((builder) => {
        for (const { name, offset, bytes } of end.metadata)
          builder.writeMetadataIndex({ offset: BigInt(offset), length: BigInt(bytes), name });
      }),
    },
  ];
  const summaryStart = end.dataBytes + dataEnd.length;
  let at = summaryStart;
  const offsets = groups.flatMap(({ opcode, bytes }) => {
    const groupStart = BigInt(at);
    at += bytes.length;
    if (bytes.length === 0) return [];
    return [built((builder) => builder.writeSummaryOffset({ groupOpcode: opcode, groupStart, groupLength: BigInt(bytes.length) }))];
  });
  const tail = (summaryCrc: number) =>
    built((builder) => {
      builder.writeFooter({ summaryStart: BigInt(summaryStart), summaryOffsetStart: BigInt(at), summaryCrc });
      builder.writeMagic();
    });
  const summary = Buffer.concat([...groups.map(({ bytes }) => bytes), ...offsets]);
  const crcOverBytes = 12; // its own four and the magic's eight are not in it
  const summaryCrc = crc32(tail(0).subarray(0, -crcOverBytes), crc32(summary));
  return Buffer.concat([dataEnd, summary, tail(summaryCrc)]);
}
