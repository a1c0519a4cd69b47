/**
 * `npm run check:recording`: does the recording outlive its host and its machine? A hundred `kill -9` of a real host on a
 * range that goes on firing, and power cuts on a file system of its own, where this machine lets one be made.
 * Prints a table, ends with 1 where something is not reached. `--small` runs a twentieth of it, `--seed N` another run.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { randomFrom } from '../faults/journal-samples.ts';
import { killHosts } from '../support/recording/kill-hosts.ts';
import { cutPower } from '../support/recording/power-cut.ts';
import { printTable, type Row } from './table.ts';

const isSmall = process.argv.includes('--small');
const only = process.argv.includes('--only') ? process.argv[process.argv.indexOf('--only') + 1] : undefined;
const SEED = process.argv.includes('--seed') ? Number(process.argv[process.argv.indexOf('--seed') + 1]) : 1;

const none = (what: string, lost: readonly unknown[], of: string): Row => ({
  what,
  wanted: '0',
  found: `${lost.length} of ${of}`,
  reached: lost.length === 0,
});

async function* kills(): AsyncGenerator<Row> {
  const folder = mkdtempSync(join(tmpdir(), 'postern-recording-'));
  const count = isSmall ? 5 : 100;
  try {
    const found = await killHosts({ folder, seed: SEED, kills: count, random: randomFrom(SEED) });
    const { sessions, records, killsAtShots, firings } = found;
    yield none(
      `a host killed ${count} times, ${killsAtShots} of them within 1.5 s of a firing (${sessions} journals, ${records} records): acknowledged edges lost`,
      found.acknowledgedLost,
      String(found.edgesAcknowledged),
    );
    yield none('… events that a page had been sent, and the journal does not tell', found.unexplained, String(found.eventsSeen));
    yield none('… journals that do not open, or are damaged elsewhere than at the end', found.unopened, String(sessions));
    yield none('… firings that no session has in one shot', found.split, String(firings));
    yield none(`… firings told by two sessions with no flag (flagged shots: ${found.flagged})`, found.toldTwice, String(firings));
    for (const line of [...found.acknowledgedLost, ...found.unexplained, ...found.unopened, ...found.split].slice(0, 20))
      console.error(line);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function* powerCuts(): AsyncGenerator<Row> {
  const count = isSmall ? 2 : 20;
  const what = `power cut ${count} times on ext4: records below the last sync lost`;
  const found = await cutPower(count, randomFrom(SEED));
  if (typeof found === 'string') {
    console.error(`No power cuts on this machine: ${found}. tests/faults/power-cut.test.ts has them on a simulated disk.`);
    return;
  }
  yield {
    what,
    wanted: '0',
    found: `${found.syncedLost} of ${found.records} (torn tails: ${found.torn})`,
    reached: found.syncedLost === 0,
  };
  yield { what: '… records read that nobody wrote', wanted: '0', found: String(found.wrong), reached: found.wrong === 0 };
}

async function* rows(): AsyncGenerator<Row> {
  if (only !== 'kills') yield* powerCuts();
  if (only !== 'power') yield* kills();
}

console.log(`check:recording, seed ${SEED}\n`);
await printTable(rows());
