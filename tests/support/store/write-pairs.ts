/**
 * The store's writing beside the library's own, the same samples, stretch after stretch in turn, so that a machine that
 * is busy is so for both. The first stretches are not counted: they teach the store what each count means, once a session.
 */
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { Store } from '../../../host/store/index.ts';
import type { PipelineEvent } from '../../../protocol/index.ts';
import { type Cost, costOf } from '../../bench/costs.ts';
import { session } from '../../unit/store-fixtures.ts';
import { BareBulk } from './bare-bulk.ts';
import { daySeconds } from './recorded-day.ts';

const SAMPLES_WAITING_MAX = 200_000;
export const DAY_ID = '20310504T093000Z';

export interface WritePair {
  readonly ours: Cost;
  /** Channel, time and value of each sample. */
  readonly bare: Cost;
  /** Bare counts, which nobody could read. */
  readonly counts: Cost;
}

export interface PairOptions {
  readonly folder: string;
  readonly seed: number;
  readonly warmUp: number;
  readonly pairs: number;
  /** Of session time, each of a pair. */
  readonly seconds: number;
}

export async function writePairs({ folder, seed, warmUp, pairs, seconds }: PairOptions): Promise<readonly WritePair[]> {
  const at = (name: string): string => join(folder, `${name}.duckdb`);
  const day = daySeconds(seconds * (warmUp + pairs), seed);
  const bulk = await BareBulk.open(at('bare'), 'samples');
  const least = await BareBulk.open(at('least'), 'counts');
  const store = await Store.open(at('ours'));
  const found: WritePair[] = [];
  for (let pair = 0; pair < warmUp + pairs; pair++) {
    const events = Array.from({ length: seconds }, () => day.next().value ?? []);
    const bare = await costOf(async () => {
      for (const second of events) await bulk.take(second);
      await bulk.write();
    });
    const ours = await costOf(async () => {
      await fillStore(store, events);
      await store.written();
    });
    const counts = await costOf(async () => {
      for (const second of events) await least.take(second);
      await least.write();
    });
    if (pair >= warmUp) found.push({ ours, bare, counts });
  }
  await bulk.close();
  await least.close();
  await store.close();
  for (const name of ['bare', 'ours', 'least']) rmSync(at(name));
  return found;
}

/** @throws Error where the store could not keep up and dropped samples */
export async function fillStore(store: Store, events: Iterable<readonly PipelineEvent[]>): Promise<void> {
  store.apply(DAY_ID, [session(DAY_ID, '2031-05-04T09:30:00Z')]);
  for (const second of events) {
    store.apply(DAY_ID, second);
    if (store.samplesWaiting > SAMPLES_WAITING_MAX) await store.written();
  }
  if (store.dropped.samples > 0) throw new Error(`${store.dropped.samples} samples were dropped`);
}
