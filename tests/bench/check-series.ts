/**
 * `npm run check:series`: do real servers of time series hold what was sent to them? A session through a server that is
 * stopped, killed hard and cut off; four hosts with a range each and one server; and how fast the sender is against a
 * bare loop. Prints a table, ends with 1 where something is not reached. `--small` is shorter, `--seed N` another run.
 */
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Comparison } from '../support/series/compare.ts';
import { fourHosts, RIGS } from '../support/series/four-hosts.ts';
import { outageSession } from '../support/series/outage-session.ts';
import type { ServerKind } from '../support/series/real-server.ts';
import { runVirtualRange } from '../support/virtual-range.ts';
import { exporting } from './sections/export.ts';
import { printTable, type Row } from './table.ts';

const isSmall = process.argv.includes('--small');
const SEED = process.argv.includes('--seed') ? Number(process.argv[process.argv.indexOf('--seed') + 1]) : 1;
const only = process.argv.includes('--only') ? process.argv[process.argv.indexOf('--only') + 1] : undefined;
const KINDS: readonly ServerKind[] = ['influxdb-1', 'victoria-metrics'];

const folder = mkdtempSync(join(tmpdir(), 'postern-check-series-'));
const own = (name: string): string => {
  const path = join(folder, name);
  mkdirSync(path);
  return path;
};

function heldRow(what: string, { sent, held, doubled, missing, foreign, different, examples }: Comparison): Row {
  for (const example of examples) console.error(example);
  return {
    what,
    wanted: 'all, once',
    found: `sent ${sent}, held ${held}, doubled ${doubled}, missing ${missing}, foreign ${foreign}, different ${different}`,
    reached: doubled + missing + foreign + different === 0 && held === sent,
  };
}

async function* outages(): AsyncGenerator<Row> {
  const { records } = runVirtualRange({ seed: SEED, shots: isSmall ? 3 : 40 });
  for (const kind of KINDS) {
    const result = await outageSession({ kind, folder: own(`outage-${kind}`), records, goneMs: isSmall ? 100 : 3_000 });
    yield heldRow(`${kind} stopped, killed hard and cut off: points (lines sent with those again: ${result.state.pointsSent})`, result);
  }
}

async function* centre(): AsyncGenerator<Row> {
  const result = await fourHosts({ folder: own('centre'), shotsEach: isSmall ? 2 : 20, stillMs: isSmall ? 4_000 : 12_000 });
  yield heldRow('four hosts, one VictoriaMetrics: points', result.comparison);
  const { fleetWhile, fleetAfter, shots } = result;
  const fired = [...shots.values()].reduce((sum, count) => sum + count, 0);
  yield {
    what: '… rigs in the fleet, running while they ran and ended after',
    wanted: RIGS.toSorted().join(', '),
    found: fleetAfter.rigs.map(({ rig, state }) => `${rig} ${state}`).join(', '),
    reached:
      fleetAfter.rigs.map(({ rig }) => rig).join() === RIGS.toSorted().join() &&
      fleetAfter.rigs.every(({ state }) => state === 'ended') &&
      fleetWhile.rigs.every(({ state }) => state === 'running'),
  };
  yield {
    what: '… shots in the fleet',
    wanted: String(fired),
    found: fleetAfter.rigs.map(({ rig, shots: count }) => `${rig} ${count}`).join(', '),
    reached: fleetAfter.shotsInAll === fired && fleetAfter.rigs.every(({ rig, shots: count }) => shots.get(rig) === count),
  };
  yield {
    what: '… shots measured while the server stood still',
    wanted: 'some of each rig',
    found: `${result.shotsMeanwhile}; 99 in 100 timers late by at most ${(result.loopDelayP99S * 1e3).toFixed(1)} ms`,
    reached: result.shotsMeanwhile >= RIGS.length,
  };
}

async function* speed(): AsyncGenerator<Row> {
  for await (const { row } of exporting({ isSmall, folder: own('speed') })) yield row;
}

async function* rows(): AsyncGenerator<Row> {
  if (only === undefined || only === 'outages') yield* outages();
  if (only === undefined || only === 'centre') yield* centre();
  if (only === undefined || only === 'speed') yield* speed();
}

console.log(`check:series, seed ${SEED}\n`);
try {
  await printTable(rows());
} finally {
  rmSync(folder, { recursive: true, force: true });
}
