/**
 * `npm run check:replay`: how soon a replay is at another moment of a long session. A session of four hours of the
 * simulated range at its real pace, two channels at 1 kHz and seven slow ones, is written as a journal, read ahead, and
 * gone about in at random. Prints a table, ends with 1 where something is not reached.
 * `--small` takes four minutes of it. `--journal FILE` takes a journal that is there already.
 */
import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { randomStream } from '../../firmware-sim/world/random.ts';
import type { SessionNs } from '../../protocol/index.ts';
import { readAhead, type Seeker, seekerOf } from '../support/seeks.ts';
import { HERON_AT_REAL_PACE, writeVirtualJournal } from '../support/virtual-journal.ts';
import { printTable, type Row } from './table.ts';

const SEED = 5;
const isSmall = process.argv.includes('--small');
const given = process.argv[process.argv.indexOf('--journal') + 1];
const SECONDS = isSmall ? 240 : 4 * 3600;
const SEEKS = 200;
const SEEK_MS_MAX = 1_000;

async function* rows(path: string): AsyncGenerator<Row> {
  const spent = coreMs();
  const { reading, tookMs } = readAhead(path);
  const readCoreS = (coreMs() - spent) / 1e3;
  const hours = reading.endNs / 3600e9;
  const times = reading.endNs / 1e9 / readCoreS;
  const megabytes = (bytes: number): string => `${Math.round(bytes / 1e6)} MB`;
  const session = `${hours.toFixed(2)} h, ${reading.shots.length} shots, ${megabytes(statSync(path).size)}`;
  yield {
    what: `read ahead once, ${session}: times real time, on a core of its own`,
    wanted: 'over 20',
    found: `${times.toFixed(0)} (${readCoreS.toFixed(0)} s of a core, ${(tookMs / 1000).toFixed(0)} s on the wall)`,
    reached: times > 20,
  };
  const { checkpoints } = reading;
  yield {
    what: '… moments kept to begin from, and what they weigh',
    wanted: 'under 384 MB',
    found: `${checkpoints.count}, ${megabytes(checkpoints.bytes)}`,
    reached: checkpoints.bytes < 384e6,
  };
  const seeker = seekerOf(reading);
  const random = randomStream(SEED, 'seeks');
  const moments = Array.from({ length: SEEKS }, () => Math.round(random.between(0, reading.endNs)));
  yield await seekRow(`${SEEKS} seeks to any moment`, seeker, moments);
  yield await seekRow(
    `steps to each of ${reading.shots.length} shots`,
    seeker,
    reading.shots.map(({ closedAtNs }) => closedAtNs),
  );
  await seeker.close();
  reading.close();
}

async function seekRow(what: string, seeker: Seeker, moments: readonly SessionNs[]): Promise<Row> {
  const ms: number[] = [];
  const core: number[] = [];
  for (const atNs of moments) {
    const spent = coreMs();
    ms.push(await seeker.to(atNs));
    core.push(coreMs() - spent);
  }
  const [median, p95, most] = [0.5, 0.95, 1].map((share) => `${quantile(ms, share).toFixed(0)} ms`);
  return {
    what: `${what}: longest`,
    wanted: 'under 1 s',
    found: `${most} (median ${median}, 95 % ${p95}; of a core ${quantile(core, 0.5).toFixed(0)} ms, at most ${quantile(core, 1).toFixed(0)} ms)`,
    reached: quantile(ms, 1) < SEEK_MS_MAX,
  };
}

/** What this process has had of the machine's cores; on a busy one the clock on the wall says more of the others. */
function coreMs(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1e3;
}

function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}

const scratch = mkdtempSync(join(tmpdir(), 'postern-replay-'));
try {
  let path = process.argv.includes('--journal') && given ? given : '';
  if (path === '') {
    path = join(scratch, 'session.mcap');
    console.log(`Writing a session of ${SECONDS / 60} minutes (seed ${SEED}) …`);
    await writeVirtualJournal(path, { seed: SEED, shots: 1_000, pace: 'real', rigText: HERON_AT_REAL_PACE, untilS: SECONDS });
  }
  await printTable(rows(path));
} finally {
  rmSync(scratch, { recursive: true, force: true });
}
