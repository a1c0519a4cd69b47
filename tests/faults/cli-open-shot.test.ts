/** A session that ends while a shot is open: the shot is closed with what there is, and a replay says the same. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { openDataFolder } from '../../host/cli/data/data-folder.ts';
import { openLiveSession } from '../../host/cli/live/live-session.ts';
import { sessionJson } from '../../host/cli/shots/shot-json.ts';
import { Store } from '../../host/store/index.ts';
import type { PipelineEvent } from '../../protocol/index.ts';
import { postern, scratchFolder } from '../support/command.ts';
import { HERON_YAML } from '../support/virtual-range.ts';
import { openWiredRange, type WiredRange } from '../support/wired-range.ts';

let scratch: ReturnType<typeof scratchFolder>;
let range: WiredRange;
beforeEach(async () => {
  scratch = scratchFolder();
  range = await openWiredRange(join(scratch.path, 'wires'), 7);
});
afterEach(async () => {
  await range.close();
  scratch.remove();
});

test.each(['opened', 'measured'] as const)('closed as soon as its shot is %s', { timeout: 60_000 }, async (phase) => {
  const rigFile = join(scratch.path, 'heron.yaml');
  writeFileSync(rigFile, HERON_YAML);
  const folder = openDataFolder(join(scratch.path, 'data'));
  const events: PipelineEvent[] = [];
  let closing: Promise<void> | undefined;
  const ended = new Promise<void>((resolve) => {
    const onEvent = (event: PipelineEvent): void => {
      events.push(event);
      if (event.type !== 'shot' || event.phase !== phase || closing !== undefined) return;
      closing = opened.then((session) => session.close());
      closing.then(resolve, resolve);
    };
    const opened = openLiveSession({ rigFile, folder, port: 0, onEvent });
    void opened.then((session) => session.start());
    session = opened;
  });
  await ended;
  await closing;
  const live = await session;
  expect(live.shots).toHaveLength(1);
  const phases = events.flatMap((event) => (event.type === 'shot' ? [event.phase] : []));
  expect(phases.filter((name) => name === 'closed')).toHaveLength(1);
  expect(phases.at(-1)).toBe('closed');
  // It was the end that closed it: nothing came after it but what the closed shot says of its blow-down.
  const after = events.slice(events.findIndex((event) => event.type === 'shot' && event.phase === 'closed') + 1);
  expect(after.filter(({ type }) => type !== 'blow-down')).toEqual([]);

  const measured = JSON.parse(JSON.stringify(sessionJson(live.sessionId, live.shots)));
  const replayed = await postern('replay', join(folder.journals, `${live.sessionId}.mcap`), '--json');
  expect(replayed.stderr).toBe('');
  expect(JSON.parse(replayed.stdout)).toEqual(measured);
  const store = await Store.open(folder.store);
  expect((await store.shots()).map(({ id }) => id)).toEqual(live.shots.map(({ id }) => id));
  await store.close();
});

let session: ReturnType<typeof openLiveSession>;
