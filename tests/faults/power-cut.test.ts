/**
 * A power cut on a disk that keeps what was synced and, of the rest, some sectors and not others, in no order, with
 * the file's length anywhere. `npm run check:recording` cuts a real file system, where the machine lets it.
 */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { isDeepStrictEqual } from 'node:util';
import { expect, test } from 'vitest';
import { JournalWriter } from '../../host/journal/index.ts';
import { FailingDisk, type FailingFile } from '../support/failing-disk.ts';
import { SEED } from '../support/seed.ts';
import { HEAD, randomFrom, readAll, sampleRecord } from './journal-samples.ts';

const SECTOR_BYTES = 512;

/** What is found after the cut: a sector that was not synced is as it was written, or was never written. */
function afterCut({ bytes, syncedBytes }: FailingFile, random: () => number): Buffer {
  const found = Buffer.from(bytes);
  for (let at = syncedBytes - (syncedBytes % SECTOR_BYTES); at < bytes.length; at += SECTOR_BYTES) {
    if (random() < 0.5) found.fill(0, Math.max(at, syncedBytes), Math.min(at + SECTOR_BYTES, bytes.length));
  }
  return found.subarray(0, syncedBytes + Math.floor(random() * (bytes.length - syncedBytes + 1)));
}

test('nothing below the last sync is lost at 200 power cuts, and nothing is read that nobody wrote', async () => {
  const seed = SEED;
  const random = randomFrom(seed);
  const folder = mkdtempSync(path.join(tmpdir(), 'postern-power-'));
  const journal = path.join(folder, 'session.mcap');
  let lostAbove = 0;
  for (let cut = 0; cut < 200; cut += 1) {
    const disk = new FailingDisk();
    const writer = JournalWriter.over(disk.create(1), HEAD);
    const count = 1 + Math.floor(random() * 120);
    let synced = 0;
    for (let n = 0; n < count; n += 1) {
      writer.append(sampleRecord(n));
      if (random() > 0.05) continue;
      await writer.sync();
      synced = n + 1;
    }
    writeFileSync(journal, afterCut(disk.files.get(1) as FailingFile, random));
    const { records, damages } = readAll(journal);
    const context = `seed ${seed}, cut ${cut}`;
    const written = Array.from({ length: count }, (_, n) => sampleRecord(n));
    expect(isDeepStrictEqual(records.slice(0, synced), written.slice(0, synced)), context).toBe(true);
    let next = synced;
    for (const record of records.slice(synced)) {
      while (next < count && !isDeepStrictEqual(record, written[next])) next += 1;
      expect(next, `${context}: a record that nobody wrote`).toBeLessThan(count);
      next += 1;
    }
    // A hole with something sound behind it is told by its numbers.
    const missing = written.length - records.length;
    const told = damages.reduce((sum, { seqFrom, seqTo }) => sum + (seqTo ?? count) - seqFrom, 0);
    expect(told, context).toBeLessThanOrEqual(missing);
    const last = records.at(-1);
    if (last && records.length - 1 < written.findIndex(({ atNs, kind }) => atNs === last.atNs && kind === last.kind))
      expect(damages.length, `${context}: a hole that is not told`).toBeGreaterThan(0);
    lostAbove += missing;
    await writer.close();
  }
  // Else the disk of this test loses nothing, and the test says nothing.
  expect(lostAbove).toBeGreaterThan(200);
  rmSync(folder, { recursive: true });
});
