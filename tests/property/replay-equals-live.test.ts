/** What a live session said, and what a replay of its journal file says: the same to the byte, whatever went wrong. */
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { FAULTS, type FaultName } from '../../firmware-sim/faults.ts';
import { rigFileText } from '../../firmware-sim/rig-file.ts';
import { journalRecords } from '../../host/cli/data/journal-records.ts';
import { type FoldStep, foldEnd, foldRecord, NOTHING_FOLDED } from '../../host/cli/replay/recorded-fold.ts';
import type { PipelineEvent } from '../../protocol/index.ts';
import { scratchFolder } from '../support/command.ts';
import { crewActs } from '../support/session-acts.ts';
import { writeVirtualJournal } from '../support/virtual-journal.ts';
import { ORIGIN_UTC_MS, type VirtualOptions } from '../support/virtual-range.ts';

const scratch = scratchFolder();
afterAll(() => scratch.remove());

/** A line for each, so that a difference is told by its event. */
const asText = (events: readonly PipelineEvent[]): readonly string[] => events.map((event) => JSON.stringify(event));

function replayed(path: string): readonly string[] {
  const events: string[] = [];
  let fold = NOTHING_FOLDED;
  const keep = ([next, said]: FoldStep): void => {
    fold = next;
    events.push(...asText(said));
  };
  const damaged: string[] = [];
  for (const record of journalRecords(path, ({ path: file }) => damaged.push(file))) keep(foldRecord(fold, record, undefined));
  keep(foldEnd(fold));
  expect(damaged).toEqual([]);
  return events;
}

async function expectEqual(options: Omit<VirtualOptions, 'through'>): Promise<readonly PipelineEvent[]> {
  const path = join(scratch.path, 'session.mcap');
  rmSync(path, { force: true });
  const live: PipelineEvent[] = [];
  await writeVirtualJournal(path, options, (events) => live.push(...events));
  const again = replayed(path);
  const said = asText(live);
  const differs = said.findIndex((text, index) => text !== again[index]);
  expect({ at: differs, event: again[differs] }).toEqual({ at: -1, event: undefined });
  expect(again.length).toBe(said.length);
  return live;
}

const rigFor = (faults: readonly FaultName[]) => rigFileText({ pace: 'fast', faults, todayMs: ORIGIN_UTC_MS });

describe('events of a replay are equal to the byte to those of the session', () => {
  test('undisturbed, with what the crew did', async () => {
    const live = await expectEqual({ seed: 3, shots: 2, acts: crewActs('virtual', 5.2) });
    const types = new Set(live.map(({ type }) => type));
    for (const type of [
      'shot',
      'note',
      'hold-points',
      'impacts',
      'shot-excluded',
      'shot-weighed',
      'shot-camera',
      'track-withdrawn',
      'act-refused',
      'fill',
      'vacuum',
      'weather',
      'blow-down',
    ])
      expect(types).toContain(type);
  });

  // Its fault is a cable, which here the run itself pulls.
  test.each(FAULTS.filter((name) => name !== 'unplug'))('with the fault %s', async (fault) => {
    await expectEqual({ seed: 4, shots: 1, faults: [fault], rigText: rigFor([fault]) });
  });

  test('with the gate board’s cable out over a firing', async () => {
    const live = await expectEqual({ seed: 5, shots: 1, unplugged: { fromS: 2.5, toS: 5 } });
    expect(live.some((event) => event.type === 'shot' && event.shot.flags.includes('fetched-late'))).toBe(true);
  });

  test('with everything at once', async () => {
    const faults = FAULTS.filter((name) => name !== 'unplug' && name !== 'wrong-device');
    await expectEqual({ seed: 6, shots: 1, faults, rigText: rigFor(faults), unplugged: { fromS: 3, toS: 4 } });
  });

  test('of a session that ends while a shot is open', async () => {
    const live = await expectEqual({ seed: 7, shots: 1, untilS: 3.7 });
    expect(live.at(-1)).toMatchObject({ type: expect.stringMatching(/shot|blow-down/) });
  });
});
