/** `postern replay` of a damaged journal: it says what is missing, whose, and from when to when, and carries on. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { JournalWriter } from '../../host/journal/index.ts';
import { postern } from '../support/command.ts';
import { ORIGIN_UTC_MS, runVirtualRange, type VirtualRun } from '../support/virtual-range.ts';

const folder = mkdtempSync(join(tmpdir(), 'postern-replay-damaged-'));
const journal = join(folder, 'virtual.mcap');
let run: VirtualRun;
let whole: Buffer;
/** Bytes of the file after each record. */
const ends: number[] = [];

beforeAll(async () => {
  run = runVirtualRange({ seed: 7, shots: 1 });
  const head = { sessionId: 'virtual', originUtcNs: BigInt(ORIGIN_UTC_MS) * 1_000_000n, softwareVersion: 'test' };
  const writer = JournalWriter.create(journal, head);
  for (const record of run.records) {
    writer.append(record);
    ends.push(writer.bytesWritten);
  }
  await writer.close();
  whole = readFileSync(journal);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const momentOf = (n: number): string => {
  const ns = run.records[n]?.atNs ?? 0;
  return `${(ns / 1e9).toFixed(6)} s (${new Date(ORIGIN_UTC_MS + Math.floor(ns / 1e6)).toISOString()})`;
};

test('one record hit, and the tail torn off', async () => {
  const hit = run.records.findIndex((record, n) => n > 400 && record.kind === 'line' && record.source === 'gate-board');
  const cutAt = (ends.at(-1) ?? 0) - 3;
  const bytes = Buffer.from(whole.subarray(0, cutAt));
  const at = (ends[hit] ?? 0) - 2;
  bytes[at] = (bytes[at] ?? 0) ^ 4;
  writeFileSync(journal, bytes);
  const { exitCode, stdout, stderr } = await postern('replay', journal);
  expect(exitCode).toBe(0);
  expect(stdout).toContain('Session virtual, shots: 1.');
  const told = stderr.split('\n').filter((line) => line.startsWith('virtual.mcap'));
  expect(told).toEqual([
    `virtual.mcap: bytes ${ends[hit - 1]} to ${ends[hit]} are damaged: 1 record is missing (number ${hit}), of gate-board, from ${momentOf(hit - 1)} to ${momentOf(hit + 1)}; the rest is used.`,
    expect.stringMatching(
      /^virtual\.mcap ends in a torn record of gate-board \(bytes \d+ to \d+\), as after a crash: the last whole record is /,
    ),
  ]);
  expect(stderr).toContain(`the last whole record is ${momentOf(run.records.length - 2)}; what came later`);
});

test('a stretch destroyed', async () => {
  const bytes = Buffer.from(whole);
  bytes.fill(0, (ends[199] ?? 0) + 1, (ends[299] ?? 0) - 1);
  writeFileSync(journal, bytes);
  const { exitCode, stderr } = await postern('replay', journal);
  expect(exitCode).toBe(0);
  expect(stderr).toContain(
    `virtual.mcap: bytes ${ends[199]} to ${ends[299]} are damaged: 100 records are missing (numbers 200 to 299), from ${momentOf(199)} to ${momentOf(300)}; the rest is used.`,
  );
});
