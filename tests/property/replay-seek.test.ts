/** A replay that is moved about in is, wherever it goes, exactly where playing from the start would have brought it. */

import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { randomStream } from '../../firmware-sim/world/random.ts';
import { journalRecords } from '../../host/cli/data/journal-records.ts';
import { foldRecord, NOTHING_FOLDED } from '../../host/cli/replay/recorded-fold.ts';
import { ReplayPlayer } from '../../host/cli/replay/replay-player.ts';
import { SessionReading } from '../../host/cli/replay/session-reading.ts';
import { LiveFeed } from '../../host/serve/index.ts';
import type { PipelineEvent, SnapshotMessage } from '../../protocol/index.ts';
import { scratchFolder } from '../support/command.ts';
import { SEED } from '../support/seed.ts';
import { readAhead, seekerOf } from '../support/seeks.ts';
import { crewActs } from '../support/session-acts.ts';
import { writeVirtualJournal } from '../support/virtual-journal.ts';

const scratch = scratchFolder();
const path = join(scratch.path, 'session.mcap');

beforeAll(() => writeVirtualJournal(path, { seed: 8, shots: 3, faults: ['corrupt', 'drop'], acts: crewActs('virtual', 5.2) }));
afterAll(() => scratch.remove());

/** What a page would be sent that had been open from the start. */
function played(untilNs: number): SnapshotMessage | undefined {
  const feed = new LiveFeed({ mode: 'replay' });
  let fold = NOTHING_FOLDED;
  for (const record of journalRecords(path, () => undefined)) {
    if (record.atNs > untilNs) break;
    const [next, events] = foldRecord(fold, record, undefined);
    fold = next;
    for (const event of events) feed.accept(event);
  }
  return feed.snapshot(untilNs);
}

const withoutControls = (snapshot: SnapshotMessage | undefined) => {
  const { replay: _, ...rest } = snapshot ?? {};
  return rest;
};

describe('a seek', () => {
  test('to any moment, in any order, gives the page what playing to there gives it', async () => {
    const { reading } = readAhead(path);
    const seeker = seekerOf(reading);
    const random = randomStream(SEED, 'seeks');
    for (let count = 0; count < 12; count += 1) {
      const atNs = count === 0 ? 0 : Math.round(random.between(0, reading.endNs * 0.999));
      await seeker.to(atNs);
      expect(withoutControls(seeker.feed.snapshot(atNs)), `seed ${SEED}, at ${atNs} ns`).toEqual(withoutControls(played(atNs)));
    }
    await seeker.close();
    reading.close();
  });

  test('holds where the moments kept were thinned out to almost none', async () => {
    const reading = new SessionReading(path, { checkpointBytesMax: 1 });
    while (reading.readFor(1_000));
    expect(reading.checkpoints.count).toBeLessThan(4);
    const seeker = seekerOf(reading);
    const atNs = Math.round(0.7 * reading.endNs);
    await seeker.to(atNs);
    expect(withoutControls(seeker.feed.snapshot(atNs))).toEqual(withoutControls(played(atNs)));
    await seeker.close();
    reading.close();
  });

  test('beyond what has been read waits for it, and a newer one takes its place', async () => {
    const reading = new SessionReading(path);
    const feed = new LiveFeed({ mode: 'replay' });
    const player = new ReplayPlayer({ feed, reading, onEvent: () => undefined }, { speed: 1, playing: false });
    player.start();
    const first = player.seek(reading.endNs * 0.9);
    const second = player.seek(reading.endNs * 0.6);
    expect(player.state).toMatchObject({ seekingNs: reading.endNs * 0.6, isRead: false });
    await Promise.all([first, second]);
    expect(player.nowNs).toBe(reading.endNs * 0.6);
    expect(player.state).not.toHaveProperty('seekingNs');
    await player.close();
    reading.close();
  });

  test('back, then played on to the end as fast as it goes, says what the session said from there', async () => {
    const { reading } = readAhead(path);
    const said: PipelineEvent[] = [];
    const feed = new LiveFeed({ mode: 'replay' });
    const player = new ReplayPlayer({ feed, reading, onEvent: (event) => said.push(event) }, { speed: 'max', playing: false });
    player.start();
    const fromNs = reading.shots[1]?.closedAtNs ?? 0;
    await player.seek(reading.endNs);
    expect(player.isAtEnd).toBe(true);
    await player.seek(fromNs);
    const ended = new Promise<void>((resolve) => {
      player.onEnd = resolve;
    });
    player.play();
    await ended;
    const all: PipelineEvent[] = [];
    let fold = NOTHING_FOLDED;
    for (const record of journalRecords(path, () => undefined)) {
      const [next, events] = foldRecord(fold, record, undefined);
      fold = next;
      if (record.atNs > fromNs) all.push(...events);
    }
    expect(JSON.stringify(said)).toBe(JSON.stringify(all));
    await player.close();
    reading.close();
  });
});

test('a step goes from shot to shot and says where there is none', async () => {
  const { PlayerDesk } = await import('../../host/cli/replay/replay-desk.ts');
  const { reading } = readAhead(path);
  const feed = new LiveFeed({ mode: 'replay' });
  const player = new ReplayPlayer({ feed, reading, onEvent: () => undefined }, { speed: 1, playing: true });
  const desk = new PlayerDesk(player, reading, () => undefined);
  player.start();
  const closings = reading.shots.map(({ closedAtNs }) => closedAtNs);
  // Pressed twice before the first was done.
  expect(desk.take({ do: 'step', to: 'next' })).toEqual({ accepted: true });
  expect(desk.take({ do: 'step', to: 'next' })).toEqual({ accepted: true });
  expect(player.state).toMatchObject({ seekingNs: closings[1], playing: false });
  expect(desk.take({ do: 'step', to: 'previous' })).toEqual({ accepted: true });
  expect(player.state).toMatchObject({ seekingNs: closings[0] });
  expect(desk.take({ do: 'step', to: 'previous' })).toEqual({ accepted: false, why: 'There is no earlier shot.' });
  expect(desk.take({ do: 'shot', shotId: '3' })).toEqual({ accepted: true });
  expect(desk.take({ do: 'step', to: 'next' })).toEqual({ accepted: false, why: 'There is no later shot in this session.' });
  expect(desk.take({ do: 'shot', shotId: '4' })).toMatchObject({ accepted: false });
  await player.close();
  reading.close();
});
