/**
 * A session that is recorded while its server is stopped once, killed hard once and cut off once; then everything that
 * the server holds is asked of it and held against everything that the journal says.
 */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { Exporter } from '../../../host/cli/series/exporter.ts';
import { DELIVERY_PORTS } from '../../../host/cli/series/lane.ts';
import { JournalWriter } from '../../../host/journal/index.ts';
import type { PosternRecord, SeriesState } from '../../../protocol/index.ts';
import { ORIGIN_UTC_MS } from '../virtual-range.ts';
import { type Comparison, compare, DECIMAL_MANTISSAS } from './compare.ts';
import { cutWire } from './cut-wire.ts';
import { expectedLines } from './expected-lines.ts';
import { asVictoriaHolds, heldBy, pointsOfLines } from './held-points.ts';
import { DATABASE, realServer, type ServerKind } from './real-server.ts';

export interface OutageOptions {
  readonly kind: ServerKind;
  readonly folder: string;
  readonly records: readonly PosternRecord[];
  /** How long it is gone each time beyond what it takes to notice, ms. */
  readonly goneMs: number;
}

export interface OutageResult extends Comparison {
  readonly state: SeriesState;
  /** Times that the server was seen to be gone. */
  readonly waits: number;
}

const TROUBLES = ['SIGTERM', 'SIGKILL', 'cut'] as const;

const TOLERANCE: Readonly<Record<ServerKind, number>> = { 'influxdb-1': 0, 'victoria-metrics': DECIMAL_MANTISSAS };

export async function outageSession({ kind, folder, records, goneMs }: OutageOptions): Promise<OutageResult> {
  const journals = join(folder, 'journals');
  mkdirSync(journals, { recursive: true });
  const server = await realServer(kind, { folder: join(folder, 'server') });
  const wire = await cutWire(server.url);
  try {
    await server.start();
    const path = join(journals, 'live.mcap');
    const journal = JournalWriter.create(path, {
      sessionId: 'live',
      originUtcNs: BigInt(ORIGIN_UTC_MS) * 1_000_000n,
      softwareVersion: 'test',
    });
    const first = records.findIndex(({ kind: what }) => what === 'rig') + 1;
    for (const record of records.slice(0, first)) journal.append(record);
    await journal.sync();
    let isOver = false;
    let waits = 0;
    const target = { kind, url: wire.url, tags: {}, ...(kind === 'influxdb-1' ? { database: DATABASE } : {}) };
    const exporter = new Exporter({
      server: target,
      root: folder,
      journals,
      live: { sessionId: 'live', isOver: () => isOver },
      // Each loss is returned from at once, though there are three in a few seconds.
      ports: { ...DELIVERY_PORTS, returnEveryMs: 1_000 },
    });
    const running = exporter.run(new AbortController().signal);
    const rest = records.slice(first);
    const parts = 3 * TROUBLES.length + 1;
    const append = (part: number): void => {
      for (const record of rest.slice((part * rest.length) / parts, ((part + 1) * rest.length) / parts)) journal.append(record);
    };
    const until = async (isSo: () => boolean): Promise<void> => {
      while (!isSo()) await sleep(20);
    };
    for (const [i, trouble] of TROUBLES.entries()) {
      // The server has just said that it has the newest points: those are what a hard end loses.
      for (const part of [3 * i, 3 * i + 1]) {
        const { pointsSent } = exporter.state;
        append(part);
        await until(() => exporter.state.state === 'sending' && exporter.state.pointsSent > pointsSent);
      }
      if (trouble === 'cut') wire.cut();
      else await server.end(trouble);
      append(3 * i + 2);
      await until(() => exporter.state.state === 'waiting');
      waits += 1;
      await sleep(goneMs);
      if (trouble === 'cut') wire.mend();
      else await server.start();
    }
    append(parts - 1);
    await journal.close();
    isOver = true;
    await running;
    const sent = pointsOfLines(expectedLines(path, kind));
    const held = await heldBy(server);
    const result = compare(kind === 'victoria-metrics' ? asVictoriaHolds(sent) : sent, held, TOLERANCE[kind]);
    return { ...result, state: exporter.state, waits };
  } finally {
    await wire.close();
    await server.end('SIGTERM');
  }
}
