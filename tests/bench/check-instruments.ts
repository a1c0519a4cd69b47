/**
 * `npm run check:instruments`: does the host hear all of its instruments, at what cost, whatever happens to their
 * cables? Ten instruments on pseudo-terminals, simulated in another process, and a whole session over them; then the
 * time axis at length, in virtual time. Prints a table, ends with 1 where something is not reached.
 * `--small` runs a twentieth of it.
 */
import { cpus } from 'node:os';
import { axisScores } from '../support/clock-axis.ts';
import { quantile, timeAlarms } from '../support/instruments/alarms.ts';
import { CHANNELS, FLEET, type Kind } from '../support/instruments/fleet.ts';
import type { ChannelCount } from '../support/instruments/journal-count.ts';
import { killEachInTurn } from '../support/instruments/kills.ts';
import { notReceived, underLoad } from '../support/instruments/load.ts';
import { printTable, type Row } from './table.ts';

const SEED = 1;
const isSmall = process.argv.includes('--small');
const percent = (share: number, digits = 1): string => `${(100 * share).toFixed(digits)} %`;
const megabytes = (bytes: number): string => `${(bytes / 1e6).toFixed(2)} MB`;
const sum = (counts: readonly ChannelCount[], of: (count: ChannelCount) => number): number =>
  counts.reduce((total, count) => total + of(count), 0);

async function* load(): AsyncGenerator<Row> {
  const seconds = isSmall ? 5 : 60;
  const result = await underLoad({ seed: SEED, seconds });
  const { counts, taken, samplesPerS, twice, cpuShare } = result;
  const fast = CHANNELS.filter(({ ratePerS }) => ratePerS === 1000).length;
  const what = `${FLEET.length} instruments, ${CHANNELS.length} channels, ${fast} of them at 1 kHz, ${seconds} s`;
  const total = sum(counts, ({ channel }) => taken[channel] ?? 0);
  const missing = notReceived(result);
  yield { what: `${what}: samples not in the journal`, wanted: '0', found: `${missing} of ${total}`, reached: missing === 0 };
  yield { what: '… handed on twice', wanted: '0', found: String(twice), reached: twice === 0 };
  yield {
    what: `… host's share of one core, journal, store and page's feed included, at ${Math.round(samplesPerS)} samples/s`,
    wanted: 'under 25 %',
    found: percent(cpuShare),
    reached: cpuShare < 0.25,
  };
}

/** Beyond what a working heap moves by. */
const MEMORY_BYTES_MAX = 4e6;

async function* kills(): AsyncGenerator<Row> {
  const rounds = isSmall ? 5 : 100;
  const result = await killEachInTurn({ seed: SEED, rounds, warmUpS: 40 });
  const { counts, twice, warm, after, before, closed } = result;
  const total = sum(counts, ({ received }) => received.count);
  const lost = sum(counts, (count) => count.lost);
  yield {
    what: `each of ${FLEET.length} links killed ${rounds} times in turn: samples lost while a link was up`,
    wanted: '0',
    found: `${lost} of ${total}`,
    reached: lost === 0,
  };
  const fetched = counts.filter(({ board }) => FLEET.some(({ name, kind }) => name === board && kind === 'gate-board'));
  const unfetched = sum(fetched, ({ missedWhileDown }) => missedWhileDown);
  yield { what: '… of killed gate boards, not fetched afterwards', wanted: '0', found: String(unfetched), reached: unfetched === 0 };
  yield { what: '… handed on twice', wanted: '0', found: String(twice), reached: twice === 0 };
  const growth = after.memoryBytes - warm.memoryBytes;
  yield {
    what: `… memory after ${result.kills} kills over that before them, collected`,
    wanted: `within ${megabytes(MEMORY_BYTES_MAX)}`,
    found: `${megabytes(growth)} on ${megabytes(warm.memoryBytes)} (resident ${megabytes(after.residentBytes - warm.residentBytes)})`,
    reached: growth < MEMORY_BYTES_MAX,
  };
  const open = ({ timers, handles, listeners }: typeof warm): string => `${timers}, ${handles}, ${listeners}`;
  yield {
    what: '… timers, handles, listeners of the process: before the kills, after them',
    wanted: 'equal',
    found: `${open(warm)}; ${open(after)}`,
    reached: after.timers <= warm.timers && after.handles <= warm.handles && after.listeners <= warm.listeners,
  };
  yield {
    what: '… before the session, after it',
    wanted: 'equal',
    found: `${open(before)}; ${open(closed)}`,
    reached: open(before) === open(closed),
  };
}

const ALARM_MS_MAX = 200;

async function* alarms(): AsyncGenerator<Row> {
  const seconds = isSmall ? 10 : 120;
  const { times, unheard } = await timeAlarms({ seed: SEED, seconds });
  for (const [kind, what] of Object.entries(ALARM_SOURCES)) {
    const own = times.filter((time) => time.kind === kind);
    const [half, nearlyAll, all] = [0.5, 0.99, 1].map((share) => quantile(own, share)) as [number, number, number];
    yield {
      what: `alarm: from the last byte of ${what} written to the page's event, ${own.length} alarms in ${seconds} s of full load`,
      wanted: `at most ${ALARM_MS_MAX} ms`,
      found: `p50 ${half.toFixed(0)} ms, p99 ${nearlyAll.toFixed(0)} ms, longest ${all.toFixed(0)} ms`,
      reached: all <= ALARM_MS_MAX,
    };
  }
  yield { what: '… not heard of at all', wanted: '0', found: String(unheard), reached: unheard === 0 };
}

const ALARM_SOURCES: Readonly<Record<Kind, string>> = {
  'gate-board': "a gate board's block of 50 ms",
  firmata: "a Firmata board's report",
  text: 'a line of text',
};

function* axis(): Generator<Row> {
  const seeds = isSmall ? 20 : 400;
  for (const drift of [0, 0.002, 0.02]) {
    const kinds = axisScores(seeds, drift);
    const least = kinds.reduce((a, b) => (b.shareWithin3 < a.shareWithin3 ? b : a));
    const worst = kinds.reduce((a, b) => (Math.abs(b.worst.z) > Math.abs(a.worst.z) ? b : a));
    const count = kinds.reduce((total, kind) => total + kind.count, 0);
    yield {
      what: `time axis, 50 ppm and drift up to ${drift} ppm/s, ${seeds} seeds, ${count} moments of ${kinds.length} kinds: share within 3 u of the truth`,
      wanted: 'at least 99 % of each kind',
      found: `${percent(least.shareWithin3, 2)} of "${least.what}" (worst ${worst.worst.z.toFixed(1)} u, "${worst.what}", seed ${worst.worst.seed})`,
      reached: least.shareWithin3 >= 0.99,
    };
  }
}

async function* checks(): AsyncGenerator<Row> {
  yield* load();
  yield* kills();
  yield* alarms();
  yield* axis();
}

console.log(`Seed ${SEED}. Node ${process.version}, ${cpus().length} × ${cpus()[0]?.model.trim()}.\n`);
await printTable(checks());
