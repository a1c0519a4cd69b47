/** A disk that cannot be trusted any more, or is gone: the session goes on in another file, and is read as one. */
import fs, { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { McapStreamReader } from '@mcap/core';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { type JournalProblem, JournalWriter, readJournal } from '../../host/journal/index.ts';
import type { PosternRecord } from '../../protocol/index.ts';
import { FailingDisk } from '../support/failing-disk.ts';
import { SEED } from '../support/seed.ts';
import { HEAD, randomFrom, readAll, sampleRecord } from './journal-samples.ts';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(path.join(tmpdir(), 'postern-parts-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const RIG: PosternRecord = {
  kind: 'rig',
  source: 'host',
  atNs: 0,
  value: { sessionId: HEAD.sessionId, softwareVersion: '0.1.0', protocolVersion: 1, fileName: 'rig.yaml', text: 'name: Heron\n' },
};
const CLOCK: PosternRecord = { kind: 'clock', source: 'host', atNs: 0, value: { utcUs: 1_773_134_100_000_000 } };
/** As a session begins, and then what it records. */
const recordOf = (n: number): PosternRecord => (n === 0 ? CLOCK : n === 1 ? RIG : sampleRecord(n));
const upTo = (count: number) => Array.from({ length: count }, (_, n) => recordOf(n));

function sessionOn(disk: FailingDisk, unwrittenBytesMax?: number) {
  const problems: JournalProblem[] = [];
  const writer = JournalWriter.over(disk.create(1), HEAD, {
    createPart: (part) => disk.create(part),
    onProblem: (problem) => problems.push(problem),
    ...(unwrittenBytesMax === undefined ? {} : { unwrittenBytesMax }),
  });
  let count = 0;
  const append = (records: number): void => {
    for (const end = count + records; count < end; count += 1) writer.append(recordOf(count));
  };
  return { writer, problems, append };
}

describe('after a sync that failed', () => {
  test('the session goes on in a second part that holds all that was not safe, and is read as one', async () => {
    const disk = new FailingDisk();
    const { writer, problems, append } = sessionOn(disk);
    append(20);
    await writer.sync();
    append(10);
    disk.fails.sync = 'EIO';
    await expect(writer.sync()).rejects.toThrow(/EIO/);
    expect(problems.at(-1)).toMatchObject({ message: expect.stringContaining('EIO'), recordsLost: 0 });
    expect(problems.at(-1)?.unwrittenBytes).toBeGreaterThan(0);
    append(5);
    disk.well();
    await writer.sync();
    expect(problems.at(-1)).toEqual({ message: '', unwrittenBytes: 0, recordsLost: 0 });
    expect(readAll(disk.leaveIn(folder, 'synced')).records).toEqual(upTo(35));
    append(15);
    await writer.close();
    const journal = disk.leaveIn(folder, 'written');
    expect([...disk.files.keys()]).toEqual([1, 2]);
    const { records, damages } = readAll(journal);
    expect(records).toEqual(upTo(50));
    // The first part's tail was thrown away by the disk: it is told, and cost nothing.
    expect(damages).toMatchObject([{ path: journal, atEnd: true }]);
    expect(damages[0]?.seqTo).toBe(damages[0]?.seqFrom);
    expect(readAll(path.join(folder, 'session.part2.mcap'))).toEqual({ records, damages });
  });

  test('the second part alone tells what it continues, and holds rig file and clock; another reader reads it', async () => {
    const disk = new FailingDisk();
    const { writer, append } = sessionOn(disk);
    append(20);
    await writer.sync();
    append(10);
    disk.fails.sync = 'EIO';
    await expect(writer.sync()).rejects.toThrow();
    disk.well();
    append(10);
    await writer.sync();
    await writer.close();
    disk.leaveIn(folder, 'written');
    fs.rmSync(path.join(folder, 'session.mcap'));
    const alone = path.join(folder, 'session.part2.mcap');
    const { records, damages } = readAll(alone);
    expect(records).toEqual([CLOCK, RIG, ...upTo(40).slice(20)]);
    expect(damages).toMatchObject([{ seqFrom: 2, seqTo: 20, afterNs: 0, beforeNs: recordOf(20).atNs, originUtcNs: HEAD.originUtcNs }]);

    const reader = new McapStreamReader({ validateCrcs: true });
    reader.append(fs.readFileSync(alone));
    const topics = new Map<number, string>();
    const sequences: number[] = [];
    let rigText = '';
    let head: ReadonlyMap<string, string> | undefined;
    for (let next = reader.nextRecord(); next !== undefined; next = reader.nextRecord()) {
      if (next.type === 'Metadata') head = next.metadata;
      if (next.type === 'Channel') topics.set(next.id, next.topic);
      if (next.type !== 'Message') continue;
      sequences.push(next.sequence);
      if (topics.get(next.channelId) === 'host/rig') rigText = Buffer.from(next.data).toString('utf8');
    }
    expect(reader.done()).toBe(true);
    expect(Object.fromEntries(head ?? [])).toMatchObject({ part: '2', fromSequence: '20', softwareVersion: '0.1.0', protocolVersion: '1' });
    expect(sequences).toEqual([0, 1, ...Array.from({ length: 20 }, (_, i) => 20 + i)]);
    expect(rigText).toContain('name: Heron');
  });

  test('tries that fail leave no files behind', async () => {
    const disk = new FailingDisk();
    const { writer, append } = sessionOn(disk);
    append(20);
    disk.fails.sync = 'EIO';
    for (let i = 0; i < 5; i += 1) {
      await expect(writer.sync()).rejects.toThrow(/EIO/);
      append(1);
    }
    disk.fails = { write: '', sync: '', create: 'EROFS' };
    await expect(writer.sync()).rejects.toThrow(/EROFS/);
    disk.well();
    disk.roomBytes = 100;
    await expect(writer.sync()).rejects.toThrow(/ENOSPC/);
    expect([...disk.files.keys()]).toEqual([1]);
    disk.well();
    await writer.sync();
    expect([...disk.files.keys()]).toEqual([1, 2]);
    expect(readAll(disk.leaveIn(folder, 'synced')).records).toEqual(upTo(25));
    await writer.close();
  });
});

test('a vanished file is noticed, and recording resumes when the folder is back', async () => {
  const journals = path.join(folder, 'journals');
  fs.mkdirSync(journals);
  const journal = path.join(journals, 'session.mcap');
  const problems: JournalProblem[] = [];
  const writer = JournalWriter.create(journal, HEAD, { onProblem: (problem) => problems.push(problem) });
  const records = upTo(60);
  for (const record of records.slice(0, 20)) writer.append(record);
  await writer.sync();
  // As a disk that is taken away: the open file still takes every byte, and nobody will ever find them.
  fs.renameSync(journals, path.join(folder, 'away'));
  for (const record of records.slice(20, 40)) writer.append(record);
  await expect(writer.sync()).rejects.toThrow(/ENOENT/);
  expect(problems.at(-1)?.message).toMatch(/ENOENT/);
  await expect(writer.sync()).rejects.toThrow(/ENOENT/);
  for (const record of records.slice(40)) writer.append(record);
  fs.renameSync(path.join(folder, 'away'), journals);
  await writer.sync();
  expect(problems.at(-1)?.message).toBe('');
  await writer.close();
  expect(fs.readdirSync(journals)).toEqual(['session.mcap', 'session.part2.mcap']);
  expect(readAll(journal).records).toEqual(records);
  expect(readAll(path.join(journals, 'session.part2.mcap')).records).toEqual(records);
});

test('one flipped bit in any part costs one record at most, and none that stands in two', async () => {
  const disk = new FailingDisk();
  const { writer, append } = sessionOn(disk);
  append(30);
  await writer.sync();
  append(20);
  disk.fails.write = 'EIO';
  append(10);
  disk.well();
  append(20);
  await writer.sync();
  append(20);
  await writer.close();
  const journal = disk.leaveIn(folder, 'written');
  const second = path.join(folder, 'session.part2.mcap');
  expect(readAll(journal)).toEqual({ records: upTo(100), damages: [] });
  const seed = SEED;
  const random = randomFrom(seed);
  for (let i = 0; i < 100; i += 1) {
    const file = random() < 0.5 ? journal : second;
    const whole = fs.readFileSync(file);
    const bit = Math.floor(random() * whole.length * 8);
    const bytes = Buffer.from(whole);
    bytes[bit >> 3] = (bytes[bit >> 3] ?? 0) ^ (1 << (bit & 7));
    fs.writeFileSync(file, bytes);
    const context = `seed ${seed}, bit ${bit & 7} of byte ${bit >> 3} of ${path.basename(file)}`;
    const { records, damages } = readAll(journal);
    const found = new Set(records.map(({ atNs, kind }) => `${atNs} ${kind}`));
    const lost = upTo(100).flatMap(({ atNs, kind }, n) => (found.has(`${atNs} ${kind}`) ? [] : [n]));
    expect(lost.length, context).toBeLessThanOrEqual(1);
    for (const n of lost) expect(n >= 50 || (n > 1 && n < 30), `${context}: ${n} stands in both`).toBe(true);
    expect(damages, context).toHaveLength(1);
    expect(damages[0]?.path, context).toBe(file);
    fs.writeFileSync(file, whole);
  }
});

test('any trouble of a disk, from a seed: nothing that a sync had covered is ever lost, and nothing is read that was not written', async () => {
  const seed = SEED;
  const random = randomFrom(seed);
  const among = <T>(values: readonly T[]): T => values[Math.floor(random() * values.length)] as T;
  for (let session = 0; session < 60; session += 1) {
    const disk = new FailingDisk();
    const kept: boolean[] = [];
    const writer = JournalWriter.over(disk.create(1), HEAD, {
      createPart: (part) => disk.create(part),
      unwrittenBytesMax: among([2500, 20_000, 1_000_000]),
    });
    let safe = 0;
    for (let n = 0; n < 300; n += 1) {
      kept.push(writer.append(recordOf(n)));
      if (random() < 0.05) {
        if (random() < 0.4) disk.well();
        else if (random() < 0.3) disk.roomBytes = Math.floor(random() * 2000);
        else disk.fails = { ...disk.fails, [among(['write', 'sync', 'create'])]: among(['', 'EIO', 'EROFS', 'ENOSPC', 'ENODEV']) };
      }
      if (random() < 0.1) {
        const covered = kept.length;
        await writer.sync().then(
          () => {
            safe = covered;
          },
          () => undefined,
        );
      }
    }
    const context = `seed ${seed}, session ${session}`;
    const scratch = path.join(folder, String(session));
    fs.mkdirSync(scratch);
    const { records } = readAll(disk.leaveIn(scratch, 'synced'));
    const expected = upTo(safe).filter((_, n) => kept[n]);
    expect(records.slice(0, expected.length), context).toEqual(expected);
    disk.well();
    const isCaughtUp = await writer.sync().then(
      () => true,
      () => false,
    );
    await writer.close().catch(() => undefined);
    const journal = disk.leaveIn(scratch, 'written');
    const at = new Map(upTo(300).map((record, n) => [`${record.atNs} ${record.kind}`, n]));
    let expectedSeq = 0;
    for (const item of readJournal(journal)) {
      if ('damage' in item) continue;
      const n = at.get(`${item.record.atNs} ${item.record.kind}`) ?? -1;
      expect(n, context).toBeGreaterThanOrEqual(expectedSeq);
      expect(item.record, context).toEqual(recordOf(n));
      if (isCaughtUp)
        for (let skipped = expectedSeq; skipped < n; skipped += 1) expect(kept[skipped], `${context}: ${skipped}`).toBe(false);
      expectedSeq = n + 1;
    }
    rmSync(scratch, { recursive: true });
  }
});
