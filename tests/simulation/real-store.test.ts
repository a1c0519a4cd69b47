/** The database itself, for a few seeds: what a live host has stored is what a rebuild from its journal stores. */

import { join } from 'node:path';
import { expect, test } from 'vitest';
import { Store } from '../../host/store/index.ts';
import type { PipelineEvent } from '../../protocol/index.ts';
import { SEED } from '../support/seed.ts';
import { temporaryFolder } from '../unit/store-fixtures.ts';
import { planFaults } from './plan-of-faults.ts';
import { runPlan } from './run-seed.ts';

const FIRST = SEED;
const CHANNELS = ['reservoirPressure', 'barrelPressure', 'airTemperature', 'fillGauge'];
/** Events that reach the store between two of its writes. */
const SLICE = 40;

test.each([0, 1, 2, 3])(`seed ${FIRST} + %i: live and rebuilt are stored alike`, async (more) => {
  const { simulation, journals } = await runPlan(planFaults(FIRST + more));
  const folder = temporaryFolder();
  try {
    const live = await Store.open(join(folder.path, 'live.duckdb'));
    const rebuilt = await Store.open(join(folder.path, 'rebuilt.duckdb'));
    let compared = 0;
    for (const [i, life] of simulation.lives.entries()) {
      const events = journals[i]?.events ?? [];
      if (life.ended !== 'in order' || life.closeFailure !== undefined) continue;
      for (let at = 0; at < life.events.length; at += SLICE) {
        live.apply(life.sessionId, life.events.slice(at, at + SLICE));
        await live.flush();
      }
      rebuilt.apply(life.sessionId, events);
      await rebuilt.flush();
      expect(await stored(live, life.sessionId)).toEqual(await stored(rebuilt, life.sessionId));
      compared += closedShots(events);
    }
    expect((await live.shots()).length).toBe(compared);
    await live.close();
    await rebuilt.close();
  } finally {
    folder.remove();
  }
});

async function stored(store: Store, sessionId: string): Promise<unknown> {
  const seconds = await Promise.all(CHANNELS.map((channel) => store.channelSeconds({ sessionId, channel })));
  const [session] = (await store.sessions()).filter(({ id }) => id === sessionId);
  return { session, shots: await store.shots({ sessionId }), seconds: seconds.map((of) => of.map(rounded)) };
}

/** Means of means: the last digit depends on how the samples were cut into batches. */
const rounded = ({ mean, ...rest }: { readonly mean: number }): unknown => ({ ...rest, mean: Number(mean.toPrecision(12)) });

function closedShots(events: readonly PipelineEvent[]): number {
  return new Set(events.flatMap((event) => (event.type === 'shot' && event.phase === 'closed' ? [event.shot.id] : []))).size;
}
