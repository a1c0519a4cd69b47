/** Lines to a real server of time series by the sender, beside a bare loop that posts them. At length: `npm run check:series`. */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { expectedLines } from '../../support/series/expected-lines.ts';
import { DATABASE, realServer, type ServerKind } from '../../support/series/real-server.ts';
import { throughput } from '../../support/series/throughput.ts';
import { writeVirtualJournal } from '../../support/virtual-journal.ts';
import { median } from '../costs.ts';
import type { Found, Section, Size } from '../section.ts';

const KINDS: readonly ServerKind[] = ['influxdb-1', 'victoria-metrics'];
const SHARE_MIN = 0.7;
const TIMES_OVER = 6;

export const exporting: Section = async function* (size) {
  const journal = join(size.folder, 'exported.mcap');
  await writeVirtualJournal(journal, { seed: 1, shots: size.isSmall ? 3 : 60 });
  const shares: number[] = [];
  for (const kind of KINDS) {
    const { found, share } = await exportTo(kind, journal, size);
    shares.push(share);
    yield { ...found, ratios: { ...found.ratios, exportToBarePost: Math.min(...shares) } };
  }
};

async function exportTo(kind: ServerKind, journal: string, { isSmall, folder }: Size): Promise<{ found: Found; share: number }> {
  const own = join(folder, kind);
  mkdirSync(own);
  const server = await realServer(kind, { folder: own });
  try {
    await server.start();
    const target = { kind, url: server.url, tags: {}, ...(kind === 'influxdb-1' ? { database: DATABASE } : {}) };
    const once = expectedLines(journal, kind);
    const rounds = isSmall ? 2 : 7;
    const { bare, sender, fromJournal } = await throughput({ server: target, journal, once, times: TIMES_OVER, rounds });
    const share = median(sender.map((rate, i) => rate / (bare[i] as number)));
    const thousands = (rate: number): string => `${Math.round(rate / 1000)} k/s`;
    const found = {
      row: {
        what: `${kind}: ${TIMES_OVER * once.length} lines by the sender, against a bare loop that posts them, median of ${bare.length} pairs`,
        wanted: `at least ${SHARE_MIN}`,
        found: `${share.toFixed(2)} (${thousands(median(sender))}; from the journal on, through the pipeline once more, ${thousands(fromJournal)})`,
        reached: isSmall || share >= SHARE_MIN,
      },
      ratios: { [kind === 'influxdb-1' ? 'exportToBarePostInflux' : 'exportToBarePostVictoria']: share },
      values: { kind, bare, sender, fromJournal },
    };
    return { found, share };
  } finally {
    await server.end('SIGTERM');
  }
}
