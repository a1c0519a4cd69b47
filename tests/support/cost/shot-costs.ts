/** What a store of so many shots costs: their table, one of them, and writing the next. */
import { join } from 'node:path';
import { Store } from '../../../host/store/index.ts';
import { costOf, median } from '../../bench/costs.ts';
import { closed, makeShot, session } from '../../unit/store-fixtures.ts';

const SHOTS_A_SESSION = 20;
const ROWS_WAITING_MAX = 1000;

export interface ShotCost {
  readonly shots: number;
  readonly tableMs: number;
  readonly oneMs: number;
  readonly nextMs: number;
}

export async function shotCosts(options: {
  readonly counts: readonly number[];
  readonly folder: string;
  readonly reads: number;
}): Promise<readonly ShotCost[]> {
  const { counts, folder, reads } = options;
  const store = await Store.open(join(folder, 'shots.duckdb'));
  let held = 0;
  const add = (): void => {
    const id = `s${String(Math.floor(held / SHOTS_A_SESSION)).padStart(4, '0')}`;
    if (held % SHOTS_A_SESSION === 0) store.apply(id, [session(id, new Date(Date.UTC(2031, 0, 1) + held * 3600e3).toISOString())]);
    store.apply(id, [closed(makeShot(id, (held % SHOTS_A_SESSION) + 1))]);
    held += 1;
  };
  const middleMs = async (work: () => Promise<void>): Promise<number> => {
    const costs: number[] = [];
    for (let i = 0; i <= reads; i += 1) costs.push((await costOf(work)).coreMs);
    return median(costs.slice(1));
  };
  const found: ShotCost[] = [];
  for (const shots of counts) {
    while (held < shots) {
      add();
      if (store.rowsWaiting > ROWS_WAITING_MAX) await store.written();
    }
    await store.flush();
    const tableMs = await middleMs(async () => {
      if ((await store.shotTable()).length !== held) throw new Error('a shot is missing in the table');
    });
    const oneMs = await middleMs(async () => {
      if (!(await store.shot(makeShot('s0000', 3).id))) throw new Error('a shot is missing');
    });
    const nextMs = await middleMs(async () => {
      add();
      await store.written();
    });
    found.push({ shots, tableMs, oneMs, nextMs });
  }
  await store.close();
  return found;
}
