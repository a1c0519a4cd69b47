/** Debian's InfluxDB and VictoriaMetrics themselves: what is sent to them, through the worst that can befall them, is what they hold. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, describe, expect, it } from 'vitest';
import { Lane } from '../../host/cli/series/lane.ts';
import { lineSender, lookAtServer, PickySender, passedOver, readFleet, type SeriesServer } from '../../host/series/index.ts';
import { fieldsText, seriesKey } from '../../host/series/lines/line.ts';
import type { Shot } from '../../protocol/index.ts';
import { heldBy } from '../support/series/held-points.ts';
import { hostileTexts } from '../support/series/hostile-tags.ts';
import { outageSession } from '../support/series/outage-session.ts';
import { DATABASE, type RealServer, realServer, type ServerKind, type ServerOptions } from '../support/series/real-server.ts';
import { writeVirtualJournal } from '../support/virtual-journal.ts';
import { HERON_YAML, ORIGIN_UTC_MS, runVirtualRange } from '../support/virtual-range.ts';

const folder = mkdtempSync(join(tmpdir(), 'postern-servers-'));
afterAll(() => rmSync(folder, { recursive: true }));

const targetOf = ({ kind, url }: RealServer): SeriesServer => ({
  kind,
  url,
  tags: {},
  ...(kind === 'influxdb-1' ? { database: DATABASE } : {}),
});

function laneTo(server: SeriesServer, path: string): Lane {
  const sender = new PickySender(lineSender(server));
  return new Lane({ path, server, sender, isOver: () => true, from: { taken: 0, settled: 0, ended: false } });
}

async function withServer<T>(
  kind: ServerKind,
  options: Omit<ServerOptions, 'folder'>,
  work: (server: RealServer) => Promise<T>,
): Promise<T> {
  const server = await realServer(kind, { ...options, folder: mkdtempSync(join(folder, 'server-')) });
  try {
    await server.start();
    return await work(server);
  } finally {
    await server.end('SIGTERM');
  }
}

describe('a session whose server is stopped, killed hard and cut off', () => {
  it('is held whole, each point once: by InfluxDB to the nanosecond and the bit, by VictoriaMetrics to the millisecond', async () => {
    const { records } = runVirtualRange({ seed: 5, shots: 3 });
    const kinds = ['influxdb-1', 'victoria-metrics'] as const;
    const results = await Promise.all(
      kinds.map((kind) => outageSession({ kind, folder: mkdtempSync(join(folder, 'outage-')), records, goneMs: 100 })),
    );
    for (const result of results) {
      expect(result).toMatchObject({ doubled: 0, missing: 0, foreign: 0, different: 0, examples: [], waits: 3 });
      expect(result.held).toBe(result.sent);
      expect(result.state.pointsRefused).toBe(0);
    }
    expect(results[0]?.sent).toBeGreaterThan(20_000);
  });
});

describe.each(['influxdb-1', 'victoria-metrics'] as const)('%s', (kind) => {
  it('gives back every name that a rig may have', () =>
    withServer(kind, {}, async (server) => {
      const sender = lineSender(targetOf(server));
      const lines = hostileTexts.map(
        (text, i) =>
          `${seriesKey('m', { rig: text, n: String(i) })} ${fieldsText([{ name: 'v', kind: 'float', value: i }])} ${Date.now()}${kind === 'influxdb-1' ? '000000' : ''}`,
      );
      expect(await sender.send(lines)).toEqual({ what: 'taken' });
      sender.close();
      const { values } = await heldBy(server);
      const held = new Map([...values].map(([key, value]) => [Number(value), /rig=(.*?) v? ?\S*$/s.exec(key)?.[1]?.trimEnd()]));
      for (const [i, text] of hostileTexts.entries()) expect([i, held.get(i)]).toEqual([i, text.replaceAll('\\', '/').trim()]);
    }));
});

describe.each(['influxdb-1', 'victoria-metrics'] as const)('four rigs on one %s', (kind) => {
  it('are told apart, with their states, their shots, and those left out', () =>
    withServer(kind, {}, async (server) => {
      const names = ['Curlew', 'Dunlin', 'Heron', 'Plover'];
      const shots = new Map<string, readonly Shot[]>();
      for (const [i, name] of names.entries()) {
        const path = join(mkdtempSync(join(folder, 'rig-')), `${name}.mcap`);
        const rigText = HERON_YAML.replace(/^name: Heron$/m, `name: ${name}`);
        const exclude = { act: 'exclude', shotId: `${name}-001`, excluded: true, reason: 'film torn', who: 'Ada' } as const;
        const acts = name === 'Heron' ? [{ atS: 5.5, act: exclude }] : [];
        shots.set(
          name,
          (await writeVirtualJournal(path, { seed: i + 20, shots: 1 + (i % 2) + acts.length, sessionId: name, rigText, acts })).shots,
        );
        const lane = laneTo(targetOf(server), path);
        expect(await lane.run(AbortSignal.timeout(30_000))).toBe(true);
      }
      if (kind === 'victoria-metrics') await fetch(`${server.url}/internal/force_flush`);
      const fleet = await readFleet(targetOf(server), { nowUtcMs: ORIGIN_UTC_MS + 60_000, days: 1 }, 3);
      expect(fleet.rigs.map(({ rig, site, state, shots: count }) => [rig, site, state, count])).toEqual(
        names.map((name) => [name, 'Cold Sike', 'ended', shots.get(name)?.length]),
      );
      for (const { rig, lastShot } of fleet.rigs) {
        const wanted = shots.get(rig)?.at(-1);
        expect(lastShot?.shot).toBe(wanted?.id);
        expect(lastShot?.muzzleVelocityMps).toBeCloseTo(wanted?.muzzleVelocityMps?.value ?? Number.NaN, 6);
        expect(Math.abs((lastShot?.firedAtUtcMs ?? 0) - Date.parse(wanted?.firedAt ?? ''))).toBeLessThanOrEqual(2);
      }
      expect(fleet.shots).toHaveLength(3);
      expect(fleet.shotsInAll).toBe([...shots.values()].flat().length);
      const all = await readFleet(targetOf(server), { nowUtcMs: ORIGIN_UTC_MS + 60_000, days: 1 }, 100);
      expect(all.shots.filter(({ isExcluded }) => isExcluded).map(({ shot }) => shot)).toEqual(['Heron-001']);
    }));
});

describe('InfluxDB', () => {
  it('takes all points but one of the wrong kind, which is told with its reason', () =>
    withServer('influxdb-1', {}, async (server) => {
      const sender = lineSender(targetOf(server));
      const picky = new PickySender(sender);
      await picky.send(['m,rig=H v=1 1000']);
      const lines = Array.from({ length: 400 }, (_, i) => (i === 123 ? 'm,rig=H v=7i 123123' : `m,rig=H v=${i} ${2_000 + i}`));
      const { outcome, refused, refusals } = await picky.send(lines);
      sender.close();
      expect(outcome).toEqual({ what: 'taken' });
      expect(refused).toBe(1);
      expect(refusals).toEqual([{ line: 'm,rig=H v=7i 123123', reason: expect.stringContaining('field type conflict') }]);
      expect((await heldBy(server)).values.size).toBe(400);
    }));

  it('asks for its user and password, and says so without them; of a database that is not there it says that', () =>
    withServer('influxdb-1', { account: { user: 'heron', password: 'of-cold-sike' } }, async (server) => {
      const outcomes = [];
      for (const given of [
        {},
        { user: 'heron', secret: 'wrong' },
        { user: 'heron', secret: 'of-cold-sike' },
        { user: 'heron', secret: 'of-cold-sike', database: 'none' },
      ]) {
        const sender = lineSender({ ...targetOf(server), ...given });
        outcomes.push(await sender.send(['m v=1 1']));
        sender.close();
      }
      expect(outcomes).toEqual([
        { what: 'later', isLost: false, reason: expect.stringContaining('it does not let us write') },
        { what: 'later', isLost: false, reason: expect.stringContaining('it does not let us write') },
        { what: 'taken' },
        { what: 'later', isLost: false, reason: expect.stringContaining('database not found') },
      ]);
    }));
});

describe('VictoriaMetrics', () => {
  it('is looked at for its merge setting and for how long it keeps points', async () => {
    const warnings = (flags: readonly string[]): Promise<readonly string[]> =>
      withServer('victoria-metrics', { flags }, async (server) => (await lookAtServer(targetOf(server))).warnings);
    expect(await warnings(['-dedup.minScrapeInterval=1ms', '-retentionPeriod=10y'])).toEqual([]);
    expect(await warnings([])).toEqual([
      expect.stringContaining('without -dedup.minScrapeInterval=1ms'),
      expect.stringContaining('keeps points for a month'),
    ]);
    expect(await warnings(['-dedup.minScrapeInterval=1s', '-retentionPeriod=3'])).toEqual([
      expect.stringContaining('keeps one in 1s'),
      expect.stringContaining('for 3 months'),
    ]);
  });

  it('says how many points it has passed over', () =>
    withServer('victoria-metrics', {}, async (server) => {
      const before = await passedOver(targetOf(server));
      const sender = lineSender(targetOf(server));
      // It calls both of them taken.
      expect(await sender.send([`m v=1 ${Date.now() + 9 * 86_400_000}`, 'no line at all'])).toEqual({ what: 'taken' });
      sender.close();
      // It looks at them a moment after its answer.
      let more: readonly string[] = [];
      while (more.length < 2) {
        await sleep(50);
        more = [...(await passedOver(targetOf(server)))].flatMap(([reason, count]) => (count > (before.get(reason) ?? 0) ? [reason] : []));
      }
      expect(more).toEqual(['big_timestamp', 'unreadable influx']);
    }));
});
