/** A shot's history: each edge and each edit, with the number of the record that it stands in. */
import { copyFileSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { actWords } from '../../host/cli/history/act-words.ts';
import { historyLines } from '../../host/cli/history/history-lines.ts';
import { shotHistory } from '../../host/cli/history/shot-history.ts';
import { readJournal } from '../../host/journal/index.ts';
import { decodeBoardLine, type PosternRecord, type RigSummary, type Shot } from '../../protocol/index.ts';
import { scratchFolder } from '../support/command.ts';
import { known } from '../support/known.ts';
import { crewActs } from '../support/session-acts.ts';
import { writeVirtualJournal } from '../support/virtual-journal.ts';

const scratch = scratchFolder();
const path = join(scratch.path, 'virtual.mcap');
let shots: Shot[];
let rig: RigSummary;
beforeAll(async () => {
  const closed = new Map<string, Shot>();
  await writeVirtualJournal(path, { seed: 3, shots: 2, acts: crewActs('virtual', 5.2) }, (events) => {
    for (const event of events) {
      if (event.type === 'session') rig = event.rig;
      if (event.type === 'shot' && event.phase === 'closed') closed.set(event.shot.id, event.shot);
    }
  });
  shots = [...closed.values()];
});
afterAll(() => scratch.remove());

const recordAt = (sequence: number): PosternRecord => {
  for (const item of readJournal(path)) if ('record' in item && item.place().sequence === sequence) return item.record;
  throw new Error(`no record ${sequence}`);
};

const actAt = (sequence: number): string | undefined => {
  const record = recordAt(sequence);
  return record.kind === 'operator' ? record.value.act : undefined;
};

test('each edge stands in the record that is named, and each edit too', () => {
  const shot = known(shots[0]);
  const history = shotHistory(path, shot, rig.gates);
  expect(history.edges.map(({ ticks }) => ticks).toSorted((a, b) => a - b)).toEqual(
    shot.edges.map(({ ticks }) => ticks).toSorted((a, b) => a - b),
  );
  for (const { record, ticks, active } of history.edges) {
    const said = recordAt(record);
    const decoded = said.kind === 'line' ? decodeBoardLine(Buffer.from(said.bytes).toString('latin1')) : undefined;
    expect(decoded).toMatchObject({ ok: true, value: { kind: 'EDGE', ticks, active } });
  }
  expect(history.edits.map(({ act, record }) => [act.act, actAt(record)])).toEqual(
    ['aim', 'note', 'impact', 'exclude', 'weigh', 'clip', 'camera-track', 'withdraw-track', 'withdraw-track'].map((act) => [act, act]),
  );
  expect(recordAt(known(history.rigFileRecord)).kind).toBe('rig');
  expect(recordAt(known(history.lastRecordBeforeFiring)).atNs).toBeLessThanOrEqual(shot.firedAtNs);
  expect(history.edits.map(({ at }) => at)).toEqual(history.edits.map(() => expect.stringMatching(/^2026-03-02T09:00:0\d\.\d{3}Z$/)));
});

test('the lines say who did what, and where it stands', () => {
  const history = shotHistory(path, known(shots[0]), rig.gates);
  const text = historyLines(history).join('\n');
  for (const { act, record } of history.edits) {
    expect(text).toContain(actWords(act));
    expect(text).toMatch(new RegExp(`${record}$`, 'm'));
  }
  expect(text).toContain('125.4');
  expect(text).toContain('virtual.mcap');
});

test('of another shot nothing is told but what was set right before it', () => {
  const history = shotHistory(path, known(shots[1]), rig.gates);
  expect(history.edits.map(({ act }) => act.act)).toEqual(['aim']);
});

test('a damaged journal tells what it still holds, and that something is missing', () => {
  const hurt = join(scratch.path, 'hurt.mcap');
  copyFileSync(path, hurt);
  const bytes = readFileSync(hurt);
  bytes.fill(0, Math.floor(bytes.length / 2), Math.floor(bytes.length / 2) + 300);
  writeFileSync(hurt, bytes);
  const history = shotHistory(hurt, known(shots[0]), rig.gates);
  expect(history.damages).toBeGreaterThan(0);
  expect(historyLines(history).join('\n')).toContain('cannot be read');
});

test('a journal that is gone is one sentence', () => {
  expect(() => shotHistory(join(scratch.path, 'gone.mcap'), known(shots[0]), rig.gates)).toThrow(/is not in its folder any more/);
});
