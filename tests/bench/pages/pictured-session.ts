/**
 * What the pictures of the pages show: the simulated range at the pace of a real day, in the hold before its third shot,
 * with a session of a dozen shots behind it. From fixed seeds: the same on every machine.
 */
import { join } from 'node:path';
import { openDataFolder } from '../../../host/cli/data/data-folder.ts';
import { rebuildStore } from '../../../host/cli/data/rebuild.ts';
import { SessionDragDesk } from '../../../host/cli/drag/drag-desk.ts';
import { SessionMapDesk } from '../../../host/cli/map/session-map-desk.ts';
import { SessionRigFile } from '../../../host/cli/set-up/session-rig-file.ts';
import { LiveFeed, type RunningServer, startServer } from '../../../host/serve/index.ts';
import { Store } from '../../../host/store/index.ts';
import type { OperatorAct, PipelineEvent } from '../../../protocol/index.ts';
import { fakeSeries } from '../../support/fake-fleet.ts';
import { HERON_AT_REAL_PACE, writeVirtualJournal } from '../../support/virtual-journal.ts';
import { ORIGIN_UTC_MS } from '../../support/virtual-range.ts';

const EARLIER = { sessionId: 'cs-2026-03-02-a', seed: 11, shots: 12 };
const SHOWN = { sessionId: 'cs-2026-03-02-b', seed: 8, shots: 3 };
/** Some seconds before the third firing: the fill is settled, the barrel pumped down. */
const SHOWN_UNTIL_S = 683;
export const CREW_TOKEN = 'key-of-the-pictures';

const tick = (holdPointId: string, atS: number) => ({
  atS,
  act: { act: 'hold-point', holdPointId, done: true, who: 'Wren' } satisfies OperatorAct,
});
const ACTS: readonly { readonly atS: number; readonly act: OperatorAct }[] = [
  { atS: 20, act: { act: 'aim', at: { rightM: 0, upM: 0.004 }, who: 'Wren' } },
  { atS: 260, act: { act: 'impact', shotId: `${SHOWN.sessionId}-001`, at: { rightM: 0.012, upM: -0.018 }, who: 'Pipit' } },
  { atS: 270, act: { act: 'note', text: 'New film, a crease at the upper edge.', shotId: `${SHOWN.sessionId}-001`, who: 'Pipit' } },
  { atS: 480, act: { act: 'impact', shotId: `${SHOWN.sessionId}-002`, at: { rightM: 0.004, upM: -0.011 }, who: 'Pipit' } },
  { atS: 500, act: { act: 'note', text: 'Wind has gone round to the west.', who: 'Wren' } },
  tick('tool-out', 520),
  tick('range-clear', 600),
  tick('protection', 610),
];

export interface Pictured {
  readonly server: RunningServer;
  readonly nowUtcMs: number;
  close(): Promise<void>;
}

/** @param folder  for journals and store */
export async function servePicturedSession(folder: string, pagesDir: string): Promise<Pictured> {
  const data = openDataFolder(folder);
  await writeVirtualJournal(join(data.journals, `${EARLIER.sessionId}.mcap`), EARLIER);
  const told: PipelineEvent[] = [];
  await writeVirtualJournal(
    join(data.journals, `${SHOWN.sessionId}.mcap`),
    { ...SHOWN, pace: 'real', setPoints: 'target', rigText: HERON_AT_REAL_PACE, acts: ACTS, untilS: SHOWN_UNTIL_S },
    (events) => told.push(...events),
  );
  await rebuildStore(folder, { dropMissing: false, onProgress: () => undefined, onTrouble: () => undefined });
  const nowNs = SHOWN_UNTIL_S * 1e9;
  const feed = new LiveFeed({ mode: 'live' });
  for (const event of told) feed.accept(event);
  const store = await Store.open(data.store);
  const [maps, drags] = [new SessionMapDesk(store), new SessionDragDesk(store)];
  const server = await startServer({
    feed,
    store,
    history: store,
    maps,
    drags,
    series: fakeSeries(),
    rigFile: new SessionRigFile('heron.yaml', HERON_AT_REAL_PACE),
    doors: { crewToken: CREW_TOKEN },
    addresses: () => ['http://192.168.4.2:4780/'],
    port: 0,
    pagesDir,
    nowNs: () => nowNs,
  });
  return {
    server,
    nowUtcMs: ORIGIN_UTC_MS + nowNs / 1e6,
    async close() {
      await server.close();
      await maps.close();
      await drags.close();
      await store.close();
    },
  };
}
