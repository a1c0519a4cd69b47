/**
 * A whole live session while its disk fails in every way: the page goes on and is told at once, edges stay on the board,
 * recording resumes by itself, and a replay tells the same shots, those fired meanwhile too.
 */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { WebSocket } from 'ws';
import { openDataFolder } from '../../host/cli/data/data-folder.ts';
import { openLiveSession } from '../../host/cli/live/live-session.ts';
import { JournalWriter } from '../../host/journal/index.ts';
import type { LiveMessage, PipelineEvent, RecordingState, Shot } from '../../protocol/index.ts';
import { scratchFolder } from '../support/command.ts';
import { FailingDisk } from '../support/failing-disk.ts';
import { readSession } from '../support/recording/read-session.ts';
import { startWitnessedRange, type WitnessedRange } from '../support/recording/witnessed-range.ts';
import { HERON_YAML } from '../support/virtual-range.ts';

let scratch: ReturnType<typeof scratchFolder>;
let range: WitnessedRange;
beforeEach(async () => {
  scratch = scratchFolder();
  range = await startWitnessedRange(join(scratch.path, 'wires'), 7);
});
afterEach(async () => {
  await range.close();
  scratch.remove();
});

/** Waits for something that events bring about. */
class Heard<T> {
  readonly all: T[] = [];
  #waiting: (() => void)[] = [];
  take(one: T): void {
    this.all.push(one);
    for (const wake of this.#waiting.splice(0)) wake();
  }
  async until<S extends T>(is: (one: T) => one is S): Promise<S>;
  async until(is: (one: T) => boolean): Promise<T>;
  async until(is: (one: T) => boolean): Promise<T> {
    for (;;) {
      const found = this.all.find(is);
      if (found !== undefined) return found;
      await new Promise<void>((resolve) => this.#waiting.push(resolve));
    }
  }
}

const isClosed = (event: PipelineEvent): event is PipelineEvent & { type: 'shot' } => event.type === 'shot' && event.phase === 'closed';

test.each([
  ['is full for longer than memory lasts', { write: 'ENOSPC', sync: '', create: 'ENOSPC' }, 12_000],
  ['fails to sync, and takes no new file for a while', { write: '', sync: 'EIO', create: 'EROFS' }, 64 * 1024 * 1024],
  ['is gone', { write: 'ENODEV', sync: 'ENODEV', create: 'ENOENT' }, 64 * 1024 * 1024],
])('whose disk %s', { timeout: 90_000 }, async (_what, fails, unwrittenBytesMax) => {
  const rigFile = join(scratch.path, 'heron.yaml');
  writeFileSync(rigFile, HERON_YAML);
  const disk = new FailingDisk();
  const events = new Heard<PipelineEvent>();
  const told = new Heard<RecordingState>();
  const session = await openLiveSession({
    rigFile,
    folder: openDataFolder(join(scratch.path, 'data')),
    port: 0,
    listPorts: async () => [],
    onEvent: (event) => events.take(event),
    createJournal: (_path, head, ports) =>
      JournalWriter.over(disk.create(1), head, { ...ports, unwrittenBytesMax, createPart: (part) => disk.create(part) }),
  });
  const page = new WebSocket(`${session.url.replace('http', 'ws')}live`);
  page.on('message', (data) => {
    const message = JSON.parse(String(data)) as LiveMessage;
    if (message.type === 'recording') told.take(message.recording);
  });
  session.start();
  await events.until(isClosed);
  disk.fails = fails;
  await told.until(({ problem }) => problem !== '');
  const isSecond = (event: PipelineEvent): event is PipelineEvent & { type: 'shot' } => isClosed(event) && event.shot.number === 2;
  const { shot } = await events.until(isSecond);
  expect(shot.muzzleVelocityMps).toBeDefined();
  // Not one edge of it was let go.
  const firedAt = Math.min(...shot.edges.map(({ ticks }) => ticks));
  const secondShot = [...range.witness.edges].filter(([, { ticks }]) => ticks >= firedAt);
  expect(secondShot.length).toBeGreaterThanOrEqual(9);
  const firstSeq = Math.min(...secondShot.map(([seq]) => seq));
  expect(range.witness.acknowledged.every(({ upToSeq }) => upToSeq < firstSeq)).toBe(true);
  disk.well();
  const from = told.all.length;
  await told.until((state) => state.problem === '' && told.all.indexOf(state) >= from);
  const lastOfSecond = Math.max(...secondShot.map(([seq]) => seq));
  await range.witness.acknowledgedUpTo(lastOfSecond);
  page.terminate();
  const lost = told.all.at(-1)?.lost?.records ?? 0;
  await session.close().catch((error: Error) => {
    if (lost === 0) throw error;
    expect(error.message).toContain('records were lost');
  });
  expect(lost > 0).toBe(unwrittenBytesMax === 12_000);

  const read = readSession(disk.leaveIn(scratch.path, 'written'), 'gate-board');
  // Every edge that was acknowledged is in the journal, also those that it had to refuse at first.
  for (const [seq, { line }] of range.witness.edges) if (seq <= lastOfSecond) expect(read.lines.has(line), line).toBe(true);
  const edgesOf = (shots: readonly Shot[]) =>
    shots.filter(({ number }) => number <= 2).map(({ edges }) => edges.map(({ ticks }) => ticks).sort((a, b) => a - b));
  expect(edgesOf(read.shots)).toEqual(edgesOf(session.shots));
});
