/** The store made anew from journals: the one that was deleted, row for row; and what a rebuild refuses to lose. */
import { copyFileSync, existsSync, readFileSync, rmSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { FaultName } from '../../firmware-sim/faults.ts';
import { type DataFolder, openDataFolder } from '../../host/cli/data/data-folder.ts';
import { FolderHold } from '../../host/cli/data/folder-hold.ts';
import { type RebuiltJournal, rebuildStore } from '../../host/cli/data/rebuild.ts';
import { Store } from '../../host/store/index.ts';
import { postern, RunningCommand, scratchFolder } from '../support/command.ts';
import { known } from '../support/known.ts';
import { crewActs } from '../support/session-acts.ts';
import { storeRows } from '../support/store-rows.ts';
import { writeVirtualJournal } from '../support/virtual-journal.ts';

const SHOTS = 2;

let scratch: ReturnType<typeof scratchFolder>;
let folder: DataFolder;
beforeEach(() => {
  scratch = scratchFolder();
  folder = openDataFolder(join(scratch.path, 'data'));
});
afterEach(() => scratch.remove());

interface Outcome {
  readonly journals: readonly RebuiltJournal[];
  readonly troubles: readonly string[];
}

async function rebuild(dropMissing = false): Promise<Outcome> {
  const troubles: string[] = [];
  const { journals } = await rebuildStore(folder.root, {
    dropMissing,
    onProgress: () => undefined,
    onTrouble: (line) => troubles.push(line),
  });
  return { journals, troubles };
}
const journal = (sessionId: string): string => join(folder.journals, `${sessionId}.mcap`);

/** A session with its journal and, as the host has it, the store beside it. */
async function record(sessionId: string, seed: number, faults: readonly FaultName[] = []): Promise<void> {
  const store = await Store.open(folder.store);
  await writeVirtualJournal(journal(sessionId), { seed, shots: SHOTS, faults, sessionId, acts: crewActs(sessionId, 5.2) }, (events) =>
    store.apply(sessionId, events),
  );
  expect(store.dropped).toEqual({ samples: 0, events: 0, sessions: 0 });
  await store.close();
}

describe('postern rebuild', () => {
  test('of sessions with faults and with what the crew did: every row of every table as it was, to the last digit', async () => {
    await record('20260302T090000Z', 1);
    await record('20260302T110000Z', 2, ['corrupt', 'drop', 'fragments', 'garbled-text']);
    const before = await storeRows(folder.store);
    for (const table of ['sessions', 'shots', 'channel_second_parts', 'events', 'samples']) expect(before[table]).not.toEqual([]);
    rmSync(folder.store);
    expect(await rebuild()).toMatchObject({ journals: [{ shots: SHOTS }, { shots: SHOTS }], troubles: [] });
    expect(await storeRows(folder.store)).toEqual(before);
    // And over a store that is there, as a user does it.
    expect(await postern('rebuild', '--data', folder.root)).toMatchObject({
      exitCode: 0,
      stderr: '',
      stdout: expect.stringMatching(/The store .* is made anew: 2 sessions, 4 shots, from 2 journals\.\n$/),
    });
    expect(await storeRows(folder.store)).toEqual(before);
  });

  test('says what is damaged, leaves out a copy, and takes the rest', async () => {
    await record('20260302T090000Z', 3);
    const whole = readFileSync(journal('20260302T090000Z'));
    copyFileSync(journal('20260302T090000Z'), journal('copy'));
    writeFileSync(journal('noise'), Buffer.alloc(3_000, 7));
    truncateSync(journal('20260302T090000Z'), Math.floor(0.9 * whole.length));
    const { journals, troubles } = await rebuild();
    expect(journals).toMatchObject([
      { journal: '20260302T090000Z.mcap', session: '20260302T090000Z', problems: [expect.stringMatching(/torn record/)] },
      { journal: 'copy.mcap', session: null, problems: [expect.stringMatching(/another journal .* already told/)] },
      { journal: 'noise.mcap', session: null, problems: [expect.any(String), expect.stringMatching(/no session/)] },
    ]);
    expect(troubles).toHaveLength(4);
  });

  test('a store that is damaged, or of another version, is made anew', async () => {
    await record('20260302T090000Z', 4);
    const before = await storeRows(folder.store);
    writeFileSync(folder.store, Buffer.alloc(20_000, 9));
    expect(await rebuild()).toMatchObject({ troubles: [] });
    expect(await storeRows(folder.store)).toEqual(before);
  });

  test('loses no session that only the store knows of, unless it is told to', async () => {
    await record('20260302T090000Z', 5);
    await record('20260302T110000Z', 6);
    rmSync(journal('20260302T110000Z'));
    const before = await storeRows(folder.store);
    await expect(rebuild()).rejects.toThrow(/^The store holds session 20260302T110000Z, and no journal of it .* --drop-missing [^\n]*\.$/);
    expect(await storeRows(folder.store)).toEqual(before);
    expect(existsSync(`${folder.store}.rebuilding`)).toBe(false);
    expect((await rebuild(true)).troubles).toEqual([expect.stringContaining('20260302T110000Z')]);
    expect((await storeRows(folder.store)).sessions).toHaveLength(1);
  });

  test('ended before it is whole, or with nothing to read, leaves the store as it was', async () => {
    await expect(rebuild()).rejects.toThrow(/^There is no journal in [^\n]+\.$/);
    await record('20260302T090000Z', 7);
    const before = await storeRows(folder.store);
    await writeVirtualJournal(journal('more'), { seed: 8, shots: 1, sessionId: 'more' });
    const running = new RunningCommand(['rebuild', '--data', folder.root]);
    try {
      await running.says(/2 of 2/);
      process.kill(running.pid, 'SIGKILL');
    } finally {
      await running.kill();
    }
    expect(await storeRows(folder.store)).toEqual(before);
    await rebuild();
    expect((await storeRows(folder.store)).sessions).toHaveLength(2);
  });

  test('is refused with one sentence while a host runs on the folder', async () => {
    await record('20260302T090000Z', 9);
    const host = await FolderHold.take(folder);
    try {
      await expect(rebuild()).rejects.toThrow(/^The data folder [^\n]+ is in use by process \d+ since [^\n]+\.$/);
    } finally {
      await host.release();
    }
    const held = await Store.open(folder.store);
    try {
      await expect(rebuild()).rejects.toThrow(/^The store [^\n]+ is in use by [^\n]*$/);
    } finally {
      await held.close();
    }
  });
});

test('after kill -9 the rebuilt store holds all that the live one had, and what it had not written yet', { timeout: 120_000 }, async () => {
  const demo = new RunningCommand(['demo', '--pace', 'fast', '--seed', '9', '--data', folder.root, '--port', '0']);
  try {
    await demo.says(/Shot 2 /, 60_000);
    process.kill(demo.pid, 'SIGKILL');
  } finally {
    await demo.kill();
  }
  const live = await storeRows(folder.store);
  await rebuild();
  const rebuilt = await storeRows(folder.store);
  for (const table of ['sessions', 'shots', 'events', 'samples', 'channel_second_parts', 'meta']) {
    const rows = new Set(rebuilt[table]);
    expect(
      known(live[table]).filter((row) => !rows.has(row)),
      table,
    ).toEqual([]);
  }
  expect(known(rebuilt.shots).length).toBeGreaterThanOrEqual(2);
});
