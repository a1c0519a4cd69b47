/** A disk that takes half, takes nothing, or fails to sync: the writer goes on, tells, and never claims what is not so. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { type JournalFile, type JournalProblem, JournalWriter } from '../../host/journal/index.ts';
import { HEAD, readAll, sampleRecord } from './journal-samples.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'postern-disk-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** In memory; what it was given is overwritten afterwards by nobody, and only what was synced counts as durable. */
class Disk implements JournalFile {
  readonly chunks: Buffer[] = [];
  /** Bytes that it still takes. */
  roomBytes = Number.POSITIVE_INFINITY;
  bytesPerWriteMax = Number.POSITIVE_INFINITY;
  syncFails = false;
  syncs = 0;
  durableBytes = 0;
  #bytes = 0;

  write(bytes: Uint8Array): number {
    const taken = Math.min(bytes.length, this.bytesPerWriteMax, this.roomBytes);
    if (taken === 0) throw Object.assign(new Error('ENOSPC: no space left on device, write'), { code: 'ENOSPC' });
    this.chunks.push(Buffer.from(bytes.subarray(0, taken)));
    this.roomBytes -= taken;
    this.#bytes += taken;
    return taken;
  }

  async datasync(): Promise<void> {
    this.syncs += 1;
    const covered = this.#bytes;
    await new Promise((resolve) => setImmediate(resolve));
    if (this.syncFails) throw Object.assign(new Error('EIO: i/o error, fdatasync'), { code: 'EIO' });
    this.durableBytes = covered;
  }

  close(): void {}

  read() {
    const journal = path.join(folder, 'read.mcap');
    writeFileSync(journal, Buffer.concat(this.chunks));
    return readAll(journal);
  }
}

const samples = (count: number) => Array.from({ length: count }, (_, n) => sampleRecord(n));

describe('the journal writer', () => {
  test('finishes short writes', async () => {
    const disk = new Disk();
    disk.bytesPerWriteMax = 7;
    const writer = JournalWriter.over(disk, HEAD);
    for (const record of samples(30)) writer.append(record);
    expect(disk.read()).toEqual({ records: samples(30), damages: [] });
    await writer.close();
    expect(disk.read()).toEqual({ records: samples(30), damages: [] });
  });

  test('keeps records while the disk is full, claims no sync, and writes them in order once there is room', async () => {
    const disk = new Disk();
    const problems: JournalProblem[] = [];
    const writer = JournalWriter.over(disk, HEAD, { onProblem: (problem) => problems.push(problem) });
    for (const record of samples(10)) writer.append(record);
    await writer.sync();
    disk.roomBytes = 100;
    for (let n = 10; n < 30; n += 1) writer.append(sampleRecord(n));
    await expect(writer.sync()).rejects.toThrow(/ENOSPC/);
    expect(disk.read().records).toEqual(samples(disk.read().records.length));
    expect(problems).toMatchObject([{ message: expect.stringContaining('ENOSPC'), recordsLost: 0 }]);
    expect(problems[0]?.unwrittenBytes).toBeGreaterThan(0);
    disk.roomBytes = Number.POSITIVE_INFINITY;
    await writer.sync();
    expect(disk.durableBytes).toBe(writer.bytesWritten);
    expect(problems.at(-1)).toEqual({ message: '', unwrittenBytes: 0, recordsLost: 0 });
    await writer.close();
    expect(disk.read()).toEqual({ records: samples(30), damages: [] });
  });

  test('has a bound on what waits; what it had to refuse is missing by number and told in the file, and it goes on', async () => {
    const disk = new Disk();
    const problems: JournalProblem[] = [];
    const writer = JournalWriter.over(disk, HEAD, { unwrittenBytesMax: 1000, onProblem: (problem) => problems.push(problem) });
    const kept = samples(5).map((record) => writer.append(record));
    await writer.sync();
    disk.roomBytes = 0;
    for (let n = 5; n < 100; n += 1) kept.push(writer.append(sampleRecord(n)));
    disk.roomBytes = Number.POSITIVE_INFINITY;
    kept.push(writer.append(sampleRecord(100)));
    await writer.sync();
    expect(disk.durableBytes).toBe(writer.bytesWritten);
    const missing = kept.flatMap((isKept, n) => (isKept ? [] : [n]));
    expect(missing.length).toBeGreaterThan(50);
    expect(problems.at(-1)).toMatchObject({ message: '', recordsLost: missing.length });
    await expect(writer.close()).rejects.toThrow(`${missing.length} records were lost`);
    const { records, damages } = disk.read();
    expect(records).toEqual(samples(101).filter((_, n) => kept[n]));
    expect(damages).toHaveLength(1);
    const [first = 0, last = 0] = [missing[0], missing.at(-1)];
    expect(missing).toEqual(Array.from({ length: missing.length }, (_, i) => first + i));
    expect(damages[0]).toMatchObject({
      seqFrom: first,
      seqTo: last + 1,
      afterNs: sampleRecord(first).atNs,
      beforeNs: sampleRecord(last).atNs,
    });
    expect([...(damages[0]?.sources ?? [])].sort()).toEqual(['gates', 'host', 'operator', 'weather']);
  });

  test('never trusts a file again whose sync has failed, where there is no other', async () => {
    const disk = new Disk();
    const writer = JournalWriter.over(disk, HEAD);
    writer.append(sampleRecord(0));
    disk.syncFails = true;
    await expect(writer.sync()).rejects.toThrow(/EIO/);
    disk.syncFails = false;
    writer.append(sampleRecord(1));
    await expect(writer.sync()).rejects.toThrow(/EIO/);
    await expect(writer.close()).rejects.toThrow(/EIO/);
  });

  test('shares one sync among many callers, and each one covers what was appended before its call', async () => {
    const disk = new Disk();
    const writer = JournalWriter.over(disk, HEAD);
    const covered: Promise<void>[] = [];
    for (let n = 0; n < 200; n += 1) {
      writer.append(sampleRecord(n));
      const appendedBytes = writer.bytesWritten;
      covered.push(writer.sync().then(() => expect(disk.durableBytes).toBeGreaterThanOrEqual(appendedBytes)));
      if (n % 20 === 0) await Promise.resolve();
      if (n % 50 === 0) await new Promise((resolve) => setImmediate(resolve));
    }
    await Promise.all(covered);
    expect(disk.syncs).toBeLessThan(30);
    const before = disk.syncs;
    await writer.sync();
    expect(disk.syncs).toBe(before);
    await Promise.all([writer.close(), writer.sync()]);
    expect(disk.durableBytes).toBe(writer.bytesWritten);
  });

  test('syncs by itself soon after a record came', async () => {
    const disk = new Disk();
    const synced = new Promise<void>((resolve) => {
      const datasync = disk.datasync.bind(disk);
      disk.datasync = async () => {
        await datasync();
        resolve();
      };
    });
    const writer = JournalWriter.over(disk, HEAD);
    writer.append(sampleRecord(0));
    const keepAlive = setInterval(() => {}, 1000);
    await synced;
    clearInterval(keepAlive);
    expect(disk.durableBytes).toBe(writer.bytesWritten);
    await writer.close();
  });
});
