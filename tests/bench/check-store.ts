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
import type { PipelineEvent } from '../../protocol/index.ts';
import { BareBulk } from '../support/store/bare-bulk.ts';
import { DAY_CHANNELS, daySeconds } from '../support/store/recorded-day.ts';
import { closed, makeShot, session } from '../unit/store-fixtures.ts';
import { printTable, type Row } from './table.ts';

const SEED = 6;
const isSmall = process.argv.includes('--small');
const hours = process.argv.includes('--hours') ? Number(process.argv[process.argv.indexOf('--hours') + 1]) : 2.4;
const SECONDS = isSmall ? 60 : Math.round(hours * 3600);
const SESSIONS = isSmall ? 20 : 1_000;
const SHOTS_A_SESSION = 5;
const SAMPLES_WAITING_MAX = 200_000;
const PAIRS = isSmall ? 2 : 10;
const WARM_UP = isSmall ? 1 : 10;
/** Of each of a pair. */
const PAIR_S = isSmall ? 10 : 120;
const READS = isSmall ? 3 : 15;
const DAY_ID = '20310504T093000Z';
const NAMES = DAY_CHANNELS.map(({ name }) => name);

const scratch = mkdtempSync(join(tmpdir(), 'postern-store-'));
const at = (name: string): string => join(scratch, name);

async function* rows(): AsyncGenerator<Row> {
  yield* writing();
  const path = at('day.duckdb');
  const store = await Store.open(path);
  const began = performance.now();
  await fill(store, SECONDS);
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

/**
 * Both write the same samples, stretch after stretch in turn, so that a machine that is busy is so for both. The first
 * filling is not counted: it teaches the store what each count means, once a session.
 */
async function* writing(): AsyncGenerator<Row> {
  const samples = PAIR_S * 1000 * NAMES.length;
  const day = daySeconds(PAIR_S * (WARM_UP + PAIRS), SEED);
  const bulk = await BareBulk.open(at('bare.duckdb'), 'samples');
  const least = await BareBulk.open(at('least.duckdb'), 'counts');
  const store = await Store.open(at('ours.duckdb'));
  const found: Pair[] = [];
  for (let pair = 0; pair < WARM_UP + PAIRS; pair++) {
    const events = Array.from({ length: PAIR_S }, () => day.next().value ?? []);
    const bare = await costOf(async () => {
      for (const second of events) await bulk.take(second);
      await bulk.write();
    });
    const ours = await costOf(async () => {
      await fill(store, PAIR_S, events);
      await store.written();
    });
    const counts = await costOf(async () => {
      for (const second of events) await least.take(second);
      await least.write();
    });
    if (pair >= WARM_UP) found.push({ ours, bare, counts });
  }
  await bulk.close();
  await least.close();
  await store.close();
  for (const name of ['bare', 'ours', 'least']) rmSync(at(`${name}.duckdb`));
  const [own, rest] = ['its own data chunks of channel, time and value', '… of bare counts, which nobody could read'];
  yield ratio(own, { pairs: found.map(({ ours, bare }) => [ours, bare]), samples, least: 0.7 });
  yield ratio(rest, { pairs: found.map(({ ours, counts }) => [ours, counts]), samples, least: 0 });
}

interface Pair {
  readonly ours: Cost;
  readonly bare: Cost;
  readonly counts: Cost;
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

async function fill(store: Store, seconds: number, events: Iterable<readonly PipelineEvent[]> = daySeconds(seconds, SEED)): Promise<void> {
  store.apply(DAY_ID, [session(DAY_ID, '2031-05-04T09:30:00Z')]);
  for (const second of events) {
    store.apply(DAY_ID, second);
    if (store.samplesWaiting > SAMPLES_WAITING_MAX) await store.written();
  }
  if (store.dropped.samples > 0) throw new Error(`${store.dropped.samples} samples were dropped`);
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

interface Cost {
  readonly wallMs: number;
  /** What this process has had of the machine's cores; on a busy one the clock on the wall says more of the others. */
  readonly coreMs: number;
}

async function costOf(work: () => Promise<void>): Promise<Cost> {
  const spent = process.cpuUsage();
  const began = performance.now();
  await work();
  const wallMs = performance.now() - began;
  const { user, system } = process.cpuUsage(spent);
  return { wallMs, coreMs: (user + system) / 1e3 };
}

function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}

const millions = (n: number): string => `${(n / 1e6).toFixed(1)} M`;

try {
  await printTable(rows());
} finally {
  rmSync(scratch, { recursive: true, force: true });
}
