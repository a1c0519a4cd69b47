/**
 * `npm run check:load`: 200 viewers on the live feed, some of them slow, some vanishing, while 32 channels at 1 kHz are
 * recorded and shots are fired. The host, the instruments (on pseudo-terminals) and the viewers are processes of their
 * own. Prints a table, ends with 1 where something is not reached. `--minutes N` (10), `--viewers N` (200).
 */
import { cpus } from 'node:os';
import { CHANNELS, FLEET } from '../support/instruments/fleet.ts';
import { notReceived } from '../support/instruments/load.ts';
import { underViewers, type ViewersResult } from '../support/load/under-viewers.ts';
import type { ViewerCount } from '../support/load/viewer.ts';
import { printTable, type Row } from './table.ts';

const SEED = 1;
const LATENCY_MS_MAX = 250;
/** Less than half, as whatever else the computer does needs some, and a machine of the field is slower. */
const CPU_SHARE_MAX = 0.5;
const GROWTH_BYTES_MAX = 64e6;

function optionOf(name: string, otherwise: number): number {
  const at = process.argv.indexOf(name);
  const value = at < 0 ? otherwise : Number(process.argv[at + 1]);
  if (!(value > 0 && value <= 1000)) throw new RangeError(`${name}: give a number from 0 to 1000`);
  return value;
}

const minutes = optionOf('--minutes', 10);
const viewersCount = optionOf('--viewers', 200);
const slow = Math.floor(viewersCount / 10);
const options = { seed: SEED, seconds: 60 * minutes, healthy: viewersCount - 2 * slow, slow, vanishing: slow };
const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;
const megabytes = (bytes: number): string => `${(bytes / 1e6).toFixed(0)} MB`;
const quantile = (sorted: readonly number[], share: number): number =>
  sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;

/** From the writing of an edge to the arrival at a viewer, ms, of all shots at all of them, ascending. */
function latenciesMs(
  { shots }: ViewersResult,
  viewers: readonly ViewerCount[],
  from: 'triggerNs' | 'lastEdgeNs',
  to: 'openedNs' | 'measuredNs',
) {
  const all = viewers.flatMap((viewer) =>
    shots.flatMap((shot, i) => {
      const heardNs = viewer[to][i + 1];
      return heardNs === undefined ? [] : [(heardNs - shot[from]) / 1e6];
    }),
  );
  return all.sort((a, b) => a - b);
}

async function* load(): AsyncGenerator<Row> {
  const result = await underViewers(options);
  const { counts, taken, viewers, shots, cpuShares, residentBytes, thinned, dropped, exitCode } = result;
  const healthy = viewers.filter(({ kind }) => kind === 'healthy');
  const fast = CHANNELS.filter(({ ratePerS }) => ratePerS === 1000).length;
  const total = counts.reduce((sum, { channel }) => sum + (taken[channel] ?? 0), 0);
  const gaps = counts.reduce((sum, { lost }) => sum + lost, 0);
  const missing = notReceived({ counts, taken });
  const what = `${options.healthy} healthy, ${slow} slow and ${slow} vanishing viewers, ${FLEET.length} instruments, ${fast} channels at 1 kHz, ${minutes} min`;
  yield {
    what: `${what}: samples not in the journal`,
    wanted: '0',
    found: `${missing} of ${total}, ${gaps} of them in gaps`,
    reached: missing === 0,
  };

  const numbers = shots.map((_, i) => i + 1);
  const notShown = healthy.reduce((sum, { closed }) => sum + numbers.filter((number) => !closed.includes(number)).length, 0);
  yield {
    what: `… ${shots.length} shots: not shown closed to a healthy viewer`,
    wanted: '0',
    found: `${notShown} of ${shots.length * healthy.length}`,
    reached: notShown === 0 && shots.length > 0,
  };
  const missed = healthy.reduce((sum, viewer) => sum + viewer.missed, 0);
  const again = healthy.reduce((sum, { snapshots, connections }) => sum + snapshots + connections - 2, 0);
  yield {
    what: '… events missing in the order at a healthy viewer; healthy viewers sent a snapshot again or let go',
    wanted: '0; 0',
    found: `${missed}; ${again}`,
    reached: missed === 0 && again === 0,
  };
  for (const [words, from, to] of [
    ['its firing signal written to the port to the first word of it at a healthy viewer', 'triggerNs', 'openedNs'],
    ['its last edge written to its velocity at a healthy viewer', 'lastEdgeNs', 'measuredNs'],
  ] as const) {
    const times = latenciesMs(result, healthy, from, to);
    const [half, nearlyAll, all] = [0.5, 0.99, 1].map((share) => quantile(times, share)) as [number, number, number];
    yield {
      what: `… a shot, from ${words}`,
      wanted: `p99 at most ${LATENCY_MS_MAX} ms`,
      found: `p50 ${half.toFixed(0)} ms, p99 ${nearlyAll.toFixed(0)} ms, longest ${all.toFixed(0)} ms`,
      reached: nearlyAll <= LATENCY_MS_MAX,
    };
  }
  const mean = cpuShares.reduce((sum, share) => sum + share, 0) / cpuShares.length;
  yield {
    what: "… host's share of one core; in its busiest ten seconds",
    wanted: `under ${percent(CPU_SHARE_MAX)}`,
    found: `${percent(mean)}; ${percent(Math.max(...cpuShares))}`,
    reached: mean < CPU_SHARE_MAX,
  };
  const first = residentBytes[Math.min(6, residentBytes.length - 2)] ?? 0;
  const last = residentBytes.at(-1) ?? 0;
  yield {
    what: "… host's resident memory after the first minute, at the end, at most",
    wanted: `grows by less than ${megabytes(GROWTH_BYTES_MAX)}`,
    found: `${megabytes(first)}, ${megabytes(last)}, ${megabytes(Math.max(...residentBytes))}`,
    reached: last - first < GROWTH_BYTES_MAX,
  };
  const sent = healthy.reduce((sum, { bytes }) => sum + bytes, 0) / healthy.length / options.seconds;
  yield {
    what: '… slow viewers spared the traces, viewers let go; sent to each healthy viewer',
    wanted: 'at least one of both',
    found: `${thinned} times, ${dropped}; ${(sent / 1000).toFixed(1)} kB/s`,
    reached: thinned + dropped > 0,
  };
  yield { what: '… asked to end: exit code', wanted: '0', found: String(exitCode), reached: exitCode === 0 };
}

console.log(`Seed ${SEED}. Node ${process.version}, ${cpus().length} × ${cpus()[0]?.model.trim()}.\n`);
await printTable(load());
