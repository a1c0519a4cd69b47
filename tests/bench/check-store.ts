/**
 * `npm run bench:store`: what the embedded store takes and gives. A day's eight channels at 1 kHz (of which `--hours N`,
 * default 2.4) are written, beside the library's own quickest way in the same run; then spans of it are read as they fit
 * a screen, and the shots of a thousand sessions. Prints a table, ends with 1 where something is not reached.
 * `--small` takes a minute of it, and twenty sessions; what depends on how much is stored is then only told.
 */
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { randomStream } from '../../firmware-sim/world/random.ts';
import { Store } from '../../host/store/index.ts';
import { DAY_CHANNELS, daySeconds } from '../support/store/recorded-day.ts';
import { DAY_ID, fillStore, writePairs } from '../support/store/write-pairs.ts';
import { closed, makeShot, session } from '../unit/store-fixtures.ts';
import { type Cost, costOf, quantile } from './costs.ts';
import { printTable, type Row } from './table.ts';

const SEED = 6;
const isSmall = process.argv.includes('--small');
const hours = process.argv.includes('--hours') ? Number(process.argv[process.argv.indexOf('--hours') + 1]) : 2.4;
const SECONDS = isSmall ? 60 : Math.round(hours * 3600);
const SESSIONS = isSmall ? 20 : 1_000;
const SHOTS_A_SESSION = 5;
const PAIRS = isSmall ? 2 : 10;
const WARM_UP = isSmall ? 1 : 10;
/** Of each of a pair. */
const PAIR_S = isSmall ? 10 : 120;
const READS = isSmall ? 3 : 15;
const NAMES = DAY_CHANNELS.map(({ name }) => name);

const scratch = mkdtempSync(join(tmpdir(), 'postern-store-'));
const at = (name: string): string => join(scratch, name);

async function* rows(): AsyncGenerator<Row> {
  yield* writing();
  const path = at('day.duckdb');
  const store = await Store.open(path);
  const began = performance.now();
  await fillStore(store, daySeconds(SECONDS, SEED));
  await store.flush();
  const tookS = (performance.now() - began) / 1000;
  await store.close();
  const samples = SECONDS * 1000 * NAMES.length;
  const bytes = statSync(path).size;
  yield {
    what: `bytes a sample on disk, all tables, ${millions(samples)} samples of 12 to 16 bits`,
    wanted: 'at most 4',
    found: `${(bytes / samples).toFixed(2)} (${(bytes / 1e6).toFixed(0)} MB; written in ${tookS.toFixed(0)} s)`,
    reached: isSmall || bytes / samples <= 4,
  };
  yield* spans(path);
  yield await shots();
}

async function* writing(): AsyncGenerator<Row> {
  const samples = PAIR_S * 1000 * NAMES.length;
  const found = await writePairs({ folder: scratch, seed: SEED, warmUp: WARM_UP, pairs: PAIRS, seconds: PAIR_S });
  const [own, rest] = ['its own data chunks of channel, time and value', '… of bare counts, which nobody could read'];
  yield ratio(own, { pairs: found.map(({ ours, bare }) => [ours, bare]), samples, least: 0.7 });
  yield ratio(rest, { pairs: found.map(({ ours, counts }) => [ours, counts]), samples, least: 0 });
}

interface Compared {
  readonly pairs: readonly (readonly [ours: Cost, bare: Cost])[];
  readonly samples: number;
  /** 0: only told. */
  readonly least: number;
}

function ratio(what: string, { pairs, samples, least }: Compared): Row {
  const of = (value: (ours: Cost, bare: Cost) => number): number =>
    quantile(
      pairs.map(([ours, bare]) => value(ours, bare)),
      0.5,
    );
  const wall = of((ours, bare) => bare.wallMs / ours.wallMs);
  const core = of((ours, bare) => bare.coreMs / ours.coreMs);
  const rates = [of((ours) => ours.wallMs), of((_, bare) => bare.wallMs)].map((ms) => `${(samples / ms / 1e3).toFixed(2)} M/s`);
  return {
    what: `writing with all summaries, against ${what}, median of ${pairs.length} pairs`,
    wanted: least === 0 ? 'told' : `at least ${least}`,
    found: `${wall.toFixed(2)} on the wall (${rates.join(' against ')}), ${core.toFixed(2)} of a core`,
    reached: isSmall || Math.max(wall, core) >= least,
  };
}

async function* spans(path: string): AsyncGenerator<Row> {
  const opening = performance.now();
  const store = await Store.open(path);
  const random = randomStream(SEED, 'spans');
  const read = async (spanS: number, channels: readonly string[]): Promise<Cost> =>
    costOf(async () => {
      const fromNs = Math.round(random.between(0, SECONDS - spanS) * 1e9);
      const { channels: found } = await store.span({
        sessionId: DAY_ID,
        channels,
        fromNs,
        toNs: fromNs + Math.round(spanS * 1e9),
        points: 1_000,
      });
      const n = found.reduce((sum, { n: counts }) => sum + counts.reduce((a, b) => a + b, 0), 0);
      // Stretches that begin in the span are whole.
      if (n < spanS * 1000 * channels.length * 0.99) throw new Error(`${n} samples in a span of ${spanS} s`);
    });
  const first = await read(SECONDS, NAMES);
  const openedMs = performance.now() - opening;
  for (const [what, spanS, channels] of [
    [`all ${(SECONDS / 3600).toFixed(2)} h`, SECONDS, NAMES],
    ['a quarter of it', SECONDS / 4, NAMES],
    ['20 minutes', Math.min(1_200, SECONDS / 2), NAMES],
    ['a minute', 60, NAMES],
    ['20 s', 20, NAMES],
    ['a second', 1, NAMES],
    ['40 s of one channel, sample by sample', 40, NAMES.slice(1, 2)],
  ] as const) {
    const costs: Cost[] = [];
    for (let i = 0; i < READS; i++) costs.push(await read(spanS, channels));
    const [wall, core] = [
      quantile(
        costs.map(({ wallMs }) => wallMs),
        0.5,
      ),
      quantile(
        costs.map(({ coreMs }) => coreMs),
        0.5,
      ),
    ];
    yield {
      what: `minimum, maximum and mean of ${what}${channels.length > 1 ? ', all eight channels' : ''}, a thousand points, median of ${READS}`,
      wanted: 'under 50 ms',
      found: `${wall.toFixed(0)} ms (of a core ${core.toFixed(0)} ms)`,
      reached: isSmall || Math.min(wall, core) < 50,
    };
  }
  yield {
    what: '… the first one, with opening the store',
    wanted: 'told',
    found: `${openedMs.toFixed(0)} ms, ${first.wallMs.toFixed(0)} ms of it the span`,
    reached: true,
  };
  await store.close();
}

async function shots(): Promise<Row> {
  const store = await Store.open(at('shots.duckdb'));
  for (let i = 0; i < SESSIONS; i++) {
    const id = `s${String(i).padStart(4, '0')}`;
    store.apply(id, [session(id, new Date(Date.UTC(2031, 0, 1) + i * 86_400e3).toISOString())]);
    for (let number = 1; number <= SHOTS_A_SESSION; number++) store.apply(id, [closed(makeShot(id, number))]);
    if (store.rowsWaiting > 1_000) await store.written();
  }
  await store.flush();
  const costs: Cost[] = [];
  let found = 0;
  for (let i = 0; i < READS; i++) {
    costs.push(
      await costOf(async () => {
        found = (await store.shotTable()).length;
      }),
    );
  }
  await store.close();
  const [wall, core] = [
    quantile(
      costs.map(({ wallMs }) => wallMs),
      0.5,
    ),
    quantile(
      costs.map(({ coreMs }) => coreMs),
      0.5,
    ),
  ];
  if (found !== SESSIONS * SHOTS_A_SESSION) throw new Error(`${found} shots found`);
  return {
    what: `the table of all ${found} shots of ${SESSIONS} sessions, median of ${READS}`,
    wanted: 'under 50 ms',
    found: `${wall.toFixed(0)} ms (of a core ${core.toFixed(0)} ms)`,
    reached: isSmall || Math.min(wall, core) < 50,
  };
}

const millions = (n: number): string => `${(n / 1e6).toFixed(1)} M`;

try {
  await printTable(rows());
} finally {
  rmSync(scratch, { recursive: true, force: true });
}
