/** What goes into a journal comes out exactly, and others can read it. */
import fs, { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import zlib from 'node:zlib';
import { McapIndexedReader, McapStreamReader, type McapTypes } from '@mcap/core';
import fc from 'fast-check';
import { afterAll, describe, expect, test } from 'vitest';
import { tableCrc32 } from '../../host/journal/crc32.ts';
import { JournalWriter } from '../../host/journal/index.ts';
import { LINK_CHANGES, type PosternRecord } from '../../protocol/index.ts';
import { HEAD, readAll, sampleRecord } from '../faults/journal-samples.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'postern-journal-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
let files = 0;
const newPath = () => path.join(folder, `${++files}.mcap`);

const atNs = fc.maxSafeNat();
const source = fc.string({ unit: 'grapheme', maxLength: 20 });
const text = fc.string({ unit: 'binary', maxLength: 60 });
const plain = { noNullPrototype: true } as const;
const value = {
  reading: fc.dictionary(text, fc.double(), plain),
  link: fc.record({ change: fc.constantFrom(...LINK_CHANGES), path: text, detail: text }, plain),
  operator: fc.record({ act: fc.constant('note'), text, shotId: text }, { ...plain, requiredKeys: ['act', 'text'] }),
  rig: fc.record({ sessionId: text, softwareVersion: text, protocolVersion: fc.nat(), fileName: text, text }, plain),
  clock: fc.record({ utcUs: fc.maxSafeInteger() }, plain),
};
const lineRecord = fc.record({ kind: fc.constant('line'), atNs, source, bytes: fc.uint8Array({ maxLength: 1024 }) }, plain);
const otherRecords = Object.entries(value).map(([kind, arbitrary]) =>
  fc.record({ kind: fc.constant(kind), atNs, source, value: arbitrary as fc.Arbitrary<unknown> }, plain),
);
const anyRecord = fc.oneof(lineRecord, ...otherRecords) as fc.Arbitrary<PosternRecord>;

describe('a journal', () => {
  test('gives back any records, closed or not', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(anyRecord, { maxLength: 30 }), async (records) => {
        const journal = newPath();
        const writer = JournalWriter.create(journal, HEAD);
        for (const record of records) writer.append(record);
        expect(readAll(journal)).toStrictEqual({ records, damages: [] });
        await writer.close();
        expect(readAll(journal)).toStrictEqual({ records, damages: [] });
        rmSync(journal);
      }),
      { numRuns: 60 },
    );
  });

  test('keeps the order and the times of a record that is long after, or before, the one ahead of it', async () => {
    const journal = newPath();
    const writer = JournalWriter.create(journal, HEAD);
    const records = [Number.MAX_SAFE_INTEGER, 0, 1].map((at) => ({ ...sampleRecord(0), atNs: at }));
    for (const record of records) writer.append(record);
    await writer.close();
    expect(readAll(journal).records).toEqual(records);
  });

  test('refuses what it could not give back, and is not changed by it', async () => {
    const journal = newPath();
    const writer = JournalWriter.create(journal, HEAD);
    const before = writer.bytesWritten;
    for (const at of [-1, 0.5, Number.NaN, 2 ** 53]) expect(() => writer.append({ ...sampleRecord(0), atNs: at })).toThrow(RangeError);
    expect(() => writer.append({ ...sampleRecord(0), source: 'x'.repeat(256) })).toThrow(RangeError);
    expect(() => writer.append({ ...sampleRecord(0), source: '\ud800' })).toThrow(RangeError);
    expect(() => writer.append({ kind: 'line', source: 'x', atNs: 0, bytes: new Uint8Array(16 * 1024 * 1024 + 1) })).toThrow(RangeError);
    expect(writer.bytesWritten).toBe(before);
    writer.append(sampleRecord(0));
    await writer.close();
    expect(() => writer.append(sampleRecord(1))).toThrow('append after close');
    expect(readAll(journal)).toEqual({ records: [sampleRecord(0)], damages: [] });
    expect(() => JournalWriter.create(journal, HEAD)).toThrow(/EEXIST/);
  });

  test('is read by the open library: every message from a torn file, the summary too from a closed one', async () => {
    const journal = newPath();
    const writer = JournalWriter.create(journal, HEAD);
    const records = Array.from({ length: 60 }, (_, n) => sampleRecord(n));
    for (const record of records) writer.append(record);
    const open = fs.readFileSync(journal);
    await writer.close();
    const closed = fs.readFileSync(journal);

    for (const [bytes, isClosed] of [
      [open, false],
      [open.subarray(0, -3), false],
      [closed, true],
    ] as const) {
      const reader = new McapStreamReader({ validateCrcs: true });
      reader.append(bytes);
      const found: McapTypes.TypedMcapRecord[] = [];
      for (let next = reader.nextRecord(); next !== undefined; next = reader.nextRecord()) found.push(next);
      expect(reader.done()).toBe(isClosed);
      const messages = found.filter((one) => one.type === 'Message');
      expect(messages.length).toBe(bytes.length === open.length - 3 ? 59 : 60);
      const topics = new Map(found.flatMap((one) => (one.type === 'Channel' ? [[one.id, one.topic] as const] : [])));
      for (const [n, message] of messages.entries()) {
        const record = records[n] as PosternRecord;
        expect(topics.get(message.channelId)).toBe(`${record.source}/${record.kind}`);
        expect(message.sequence).toBe(n);
        expect(message.logTime).toBe(HEAD.originUtcNs + BigInt(record.atNs));
        const payload = Buffer.from(message.data);
        expect(payload.readUInt32LE(4)).toBe(n);
        if (record.kind === 'line') expect(payload.subarray(-record.bytes.length)).toEqual(Buffer.from(record.bytes));
      }
      expect(found.find((one) => one.type === 'Metadata')?.metadata.get('sessionId')).toBe(HEAD.sessionId);
      const dataEnd = found.find((one) => one.type === 'DataEnd');
      expect(dataEnd?.dataSectionCrc).toBe(isClosed ? tableCrc32(open) : undefined);
    }

    const indexed = await McapIndexedReader.Initialize({
      readable: {
        size: async () => BigInt(closed.length),
        read: async (offset, length) => Uint8Array.from(closed.subarray(Number(offset), Number(offset + length))),
      },
    });
    expect(indexed.statistics).toMatchObject({
      messageCount: 60n,
      channelCount: 5,
      messageStartTime: HEAD.originUtcNs,
      messageEndTime: HEAD.originUtcNs + BigInt(records.at(-1)?.atNs ?? 0),
    });
    for (const [id, channel] of indexed.channelsById) {
      expect(indexed.statistics?.channelMessageCounts.get(id)).toBe(
        BigInt(records.filter((record) => `${record.source}/${record.kind}` === channel.topic).length),
      );
    }
    const metadata: McapTypes.Metadata[] = [];
    for await (const one of indexed.readMetadata()) metadata.push(one);
    expect(Object.fromEntries(metadata[0]?.metadata ?? [])).toMatchObject({
      sessionId: HEAD.sessionId,
      originUtcNs: String(HEAD.originUtcNs),
      softwareVersion: '0.1.0',
      protocolVersion: '1',
    });
  });
});

describe('the checksum', () => {
  test('gives the published check value', () => {
    // "check" of CRC-32/ISO-HDLC in the catalogue of parametrised CRC algorithms (reveng.sourceforge.io/crc-catalogue).
    expect(tableCrc32(Buffer.from('123456789'))).toBe(0xcbf4_3926);
  });

  test.runIf(typeof zlib.crc32 === 'function')('equals the native one, whole and in parts', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 300 }), fc.nat(300), (bytes, cut) => {
        expect(tableCrc32(bytes)).toBe(zlib.crc32(bytes));
        expect(tableCrc32(bytes.subarray(cut), tableCrc32(bytes.subarray(0, cut)))).toBe(zlib.crc32(bytes));
      }),
    );
  });
});
