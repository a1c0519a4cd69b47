/** What `append` has returned for survives `kill -9`. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, expect, test } from 'vitest';
import { SEED } from '../support/seed.ts';
import { randomFrom, readAll, sampleRecord } from './journal-samples.ts';

const folder = mkdtempSync(path.join(tmpdir(), 'postern-kill-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const CHILD = fileURLToPath(new URL('./journal-kill-child.ts', import.meta.url));
const TOLD_BYTES = 4;

/** @returns how many records the child said it had appended before it died */
async function writeUntilKilled(journal: string, killAfterRecords: number): Promise<number> {
  const child = spawn(process.execPath, ['--import', 'tsx', CHILD, journal], { stdio: ['ignore', 'pipe', 'inherit'] });
  let toldBytes = 0;
  child.stdout.on('data', (chunk: Buffer) => {
    toldBytes += chunk.length;
    if (toldBytes >= killAfterRecords * TOLD_BYTES) child.kill('SIGKILL');
  });
  const [, signal] = (await once(child, 'close')) as [number | null, string | null];
  expect(signal).toBe('SIGKILL');
  return Math.floor(toldBytes / TOLD_BYTES);
}

test('killed at ten random moments, the journal holds every record that was told, and no wrong one', async () => {
  const random = randomFrom(SEED);
  const tries = Array.from({ length: 10 }, (_, i) => ({
    journal: path.join(folder, `${i}.mcap`),
    killAfter: 1 + Math.floor(random() * 4000),
  }));
  const runTwo = async (queue: typeof tries) => {
    for (let next = queue.shift(); next !== undefined; next = queue.shift()) {
      const told = await writeUntilKilled(next.journal, next.killAfter);
      const { records, damages } = readAll(next.journal);
      expect(told).toBeGreaterThanOrEqual(next.killAfter);
      expect(records.length).toBeGreaterThanOrEqual(told);
      for (const [n, record] of records.entries()) expect(record).toEqual(sampleRecord(n));
      // At most the record in hand is torn, and then it is told.
      expect(damages.every((damage) => damage.atEnd && damage.seqFrom === records.length)).toBe(true);
      expect(damages.length).toBeLessThanOrEqual(1);
    }
  };
  const queue = [...tries];
  await Promise.all([runTwo(queue), runTwo(queue)]);
});
