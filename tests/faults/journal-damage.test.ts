/** Damaged and torn journals: nothing wrong is ever read, and no more is lost than was hit. */
import fs, { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { isDeepStrictEqual } from 'node:util';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { JournalWriter } from '../../host/journal/index.ts';
import type { PosternRecord } from '../../protocol/index.ts';
import { SEED } from '../support/seed.ts';
import { HEAD, randomFrom, readAll, sampleRecord } from './journal-samples.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'postern-damage-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const RECORDS = 120;
const written = Array.from({ length: RECORDS }, (_, n) => sampleRecord(n));
/** Bytes of the file after each record, and of a file that was closed. */
const ends: number[] = [];
let headBytes = 0;
let closed: Buffer;

beforeAll(async () => {
  const journal = path.join(folder, 'closed.mcap');
  const writer = JournalWriter.create(journal, HEAD);
  headBytes = writer.bytesWritten;
  for (const record of written) {
    writer.append(record);
    ends.push(writer.bytesWritten);
  }
  await writer.close();
  closed = fs.readFileSync(journal);
});

const scratch = path.join(folder, 'scratch.mcap');
function readBytes(bytes: Uint8Array) {
  fs.writeFileSync(scratch, bytes);
  return readAll(scratch);
}

/** @returns numbers of the records written that were not read; every record read must be one of them, in order */
function missing(records: readonly PosternRecord[], context: string): number[] {
  const lost: number[] = [];
  let next = 0;
  for (const [n, record] of written.entries()) {
    const found = records[next];
    if (found !== undefined && found.atNs === record.atNs) {
      // Quicker, over tens of thousands of records, than an assertion each.
      if (!isDeepStrictEqual(found, record)) expect(found, context).toEqual(record);
      next += 1;
    } else lost.push(n);
  }
  expect(next, `${context}: a record that nobody wrote`).toBe(records.length);
  return lost;
}

describe('a journal', () => {
  test('that is whole is read whole', () => {
    expect(readBytes(closed)).toEqual({ records: written, damages: [] });
    expect(readBytes(closed.subarray(0, ends.at(-1)))).toEqual({ records: written, damages: [] });
  });

  test.each(['closed', 'never closed'])('%s, with one bit flipped at 300 random places, loses one record at most and says so', (state) => {
    const seed = SEED;
    const random = randomFrom(seed);
    const whole = state === 'closed' ? closed : closed.subarray(0, ends.at(-1));
    let named = 0;
    for (let i = 0; i < 300; i += 1) {
      const bit = Math.floor(random() * whole.length * 8);
      const bytes = Buffer.from(whole);
      bytes[bit >> 3] = (bytes[bit >> 3] ?? 0) ^ (1 << (bit & 7));
      const context = `seed ${seed}, ${state}, bit ${bit & 7} of byte ${bit >> 3}`;
      const { records, damages } = readBytes(bytes);
      const lost = missing(records, context);
      expect(lost.length, context).toBeLessThanOrEqual(1);
      expect(damages.length, context).toBe(1);
      const [damage] = damages;
      expect(damage?.fromByte, context).toBeLessThanOrEqual(bit >> 3);
      expect(damage?.toByte, context).toBeGreaterThan(bit >> 3);
      if (lost.length === 1) {
        const [n = 0] = lost;
        expect(damage, context).toMatchObject({ seqFrom: n, afterNs: written[n - 1]?.atNs, beforeNs: written[n + 1]?.atNs });
        // Who sent it is said where the record still says so, and nobody else is named.
        expect([[], [written[n]?.source]], context).toContainEqual(damage?.sources);
        named += damage?.sources.length ?? 0;
        if (lost[0] !== RECORDS - 1) expect(damage?.seqTo, context).toBe((lost[0] ?? 0) + 1);
      } else if (damage?.seqTo !== undefined) expect(damage.seqTo, context).toBe(damage.seqFrom);
    }
    expect(named, `seed ${seed}, ${state}`).toBeGreaterThan(150);
  });

  test('loses one record where a flipped bit makes its length that of itself and the next', () => {
    const longLine = written.findIndex(
      (_, n) => n > 2 && (ends[n] ?? 0) - (ends[n - 1] ?? 0) === 64 && (ends[n + 1] ?? 0) - (ends[n] ?? 0) === 64,
    );
    expect(longLine).toBeGreaterThan(0);
    const bytes = Buffer.from(closed);
    const lengthAt = (ends[longLine - 1] ?? 0) + 1;
    expect(bytes[lengthAt]).toBe(55);
    bytes[lengthAt] = 55 ^ 64;
    expect(missing(readBytes(bytes).records, 'length')).toEqual([longLine]);
  });

  test('cut at each of its last 3,000 bytes gives every record before the cut, and never throws', () => {
    fs.writeFileSync(scratch, closed);
    for (let size = closed.length; size >= closed.length - 3000; size -= 1) {
      fs.truncateSync(scratch, size);
      const { records, damages } = readAll(scratch);
      const whole = ends.filter((end) => end <= size).length;
      expect(records.length, `cut at ${size}`).toBe(whole);
      if (size % 97 === 0) expect(missing(records, `cut at ${size}`).length).toBe(RECORDS - whole);
      const isWhole = size === closed.length || ends.includes(size);
      // Between two records a cut cannot be seen; anywhere else it is told, with its place.
      if (isWhole) expect(damages, `cut at ${size}`).toEqual([]);
      else if (size < (ends.at(-1) ?? 0)) {
        // A channel record is written with its first message and may be whole where the message is not.
        expect(damages.length, `cut at ${size}`).toBeLessThanOrEqual(1);
        for (const damage of damages) expect(damage).toMatchObject({ atEnd: true, seqFrom: whole, toByte: size });
      }
    }
  });

  test('cut inside its first bytes, empty, or no journal at all gives no record and never throws', () => {
    for (let size = 0; size < headBytes; size += 1) expect(readBytes(closed.subarray(0, size)).records).toEqual([]);
    const text = readBytes(Buffer.from('Cold Sike range, day book\n'.repeat(100)));
    expect(text).toMatchObject({ records: [], damages: [{ fromByte: 0, toByte: 2600, atEnd: true }] });
  });

  test.each(['zeros', 'noise', 'its own beginning'])('with a tail of %s after a crash gives its records and one notice', (tail) => {
    const random = randomFrom(SEED);
    const torn = closed.subarray(0, (ends.at(-1) ?? 0) - 5);
    const added = {
      zeros: Buffer.alloc(70_000),
      noise: Buffer.from(Array.from({ length: 70_000 }, () => Math.floor(random() * 256))),
      'its own beginning': closed.subarray(0, ends[50]),
    }[tail] as Buffer;
    const { records, damages } = readBytes(Buffer.concat([torn, added]));
    expect(records).toEqual(written.slice(0, -1));
    expect(damages).toMatchObject([
      { fromByte: ends.at(-2), toByte: torn.length + added.length, seqFrom: RECORDS - 1, seqTo: undefined, atEnd: true },
    ]);
  });

  test('with a hole of many records tells which are missing and reads on', () => {
    const bytes = Buffer.from(closed);
    bytes.fill(0, (ends[29] ?? 0) + 3, (ends[59] ?? 0) - 3);
    const { records, damages } = readBytes(bytes);
    expect(missing(records, 'hole')).toEqual(Array.from({ length: 30 }, (_, i) => 30 + i));
    const times = { afterNs: written[29]?.atNs, beforeNs: written[60]?.atNs, originUtcNs: HEAD.originUtcNs };
    expect(damages).toMatchObject([{ fromByte: ends[29], toByte: ends[59], seqFrom: 30, seqTo: 60, atEnd: false, ...times }]);
  });

  test('does not take for a record what somebody sent in the shape of one', async () => {
    const journal = path.join(folder, 'forged.mcap');
    const writer = JournalWriter.create(journal, HEAD);
    writer.append(sampleRecord(0));
    const forged = closed.subarray(ends[5] ?? 0, ends[6]);
    const at = writer.bytesWritten;
    writer.append({ kind: 'line', source: 'gates', atNs: 5, bytes: Uint8Array.from(forged) });
    writer.append(sampleRecord(2));
    await writer.close();
    const bytes = fs.readFileSync(journal);
    bytes[at + 50] = (bytes[at + 50] ?? 0) ^ 1;
    expect(readBytes(bytes).records).toEqual([sampleRecord(0), sampleRecord(2)]);
  });

  test('with a 256 MB tail of zeros is read in bounded memory', () => {
    fs.writeFileSync(scratch, closed.subarray(0, ends.at(-1)));
    fs.truncateSync(scratch, 256 * 1024 * 1024);
    const before = process.memoryUsage().rss;
    const { records, damages } = readAll(scratch);
    expect(records).toEqual(written);
    expect(damages).toMatchObject([{ fromByte: ends.at(-1), toByte: 256 * 1024 * 1024, atEnd: true }]);
    expect(process.memoryUsage().rss - before).toBeLessThan(64 * 1024 * 1024);
  });
});
