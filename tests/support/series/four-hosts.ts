/**
 * A test centre on one machine: hosts, each with a range and a rig of its own, that write to one VictoriaMetrics. In
 * mid-session that server stands still for a while, and none of the hosts may have anything of it.
 */
import { mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { rigFileText } from '../../../firmware-sim/rig-file.ts';
import { Exporter } from '../../../host/cli/series/exporter.ts';
import { readFleet, type SeriesServer } from '../../../host/series/index.ts';
import type { Fleet, SeriesState } from '../../../protocol/index.ts';
import { RunningCommand } from '../command.ts';
import { openWiredRange, type WiredRange } from '../wired-range.ts';
import { type Comparison, compare, DECIMAL_MANTISSAS } from './compare.ts';
import { expectedLines } from './expected-lines.ts';
import { asVictoriaHolds, heldBy, pointsOfLines } from './held-points.ts';
import { realServer } from './real-server.ts';

export const RIGS = ['Heron', 'Curlew', 'Dunlin', 'Plover'] as const;

export interface FourHostsResult {
  readonly comparison: Comparison;
  readonly fleetWhile: Fleet;
  readonly fleetAfter: Fleet;
  /** Shots that the hosts closed, by rig. */
  readonly shots: ReadonlyMap<string, number>;
  /** While the server stood still: the worst 99th percentile of how late a host's timers were, s, and shots fired. */
  readonly loopDelayP99S: number;
  readonly shotsMeanwhile: number;
  readonly states: readonly SeriesState[];
}

interface Host {
  readonly rig: string;
  readonly data: string;
  readonly command: RunningCommand;
  readonly url: string;
}

export async function fourHosts(options: {
  readonly folder: string;
  readonly shotsEach: number;
  readonly stillMs: number;
}): Promise<FourHostsResult> {
  const { folder, shotsEach, stillMs } = options;
  const server = await realServer('victoria-metrics', { folder: join(folder, 'server') });
  const ranges: WiredRange[] = [];
  const commands: RunningCommand[] = [];
  try {
    await server.start();
    const target: SeriesServer = { kind: 'victoria-metrics', url: server.url, tags: { centre: 'Cold Sike' } };
    const hosts: Host[] = [];
    for (const rig of RIGS) {
      const place = join(folder, rig);
      const data = join(place, 'data');
      commands.push(new RunningCommand(['run', writeRigFile(place, rig, server.url), '--data', data, '--port', '0']));
    }
    for (const [i, rig] of RIGS.entries()) {
      const command = commands[i] as RunningCommand;
      const [, url = ''] = await command.says(/atch it at (http:\/\/\S+?)\/?\s/, 120_000);
      hosts.push({ rig, data: join(folder, rig, 'data'), command, url });
    }
    // Now, so that the shots are those of the session and not what boards had kept from before it.
    for (const [i, rig] of RIGS.entries()) ranges.push(await openWiredRange(join(folder, rig, 'wires'), i + 1));
    const shotsOf = async (host: Host): Promise<number> =>
      [...(await askText(host, '/metrics')).matchAll(/^postern_shots\{.*\} (\d+)$/gm)].reduce((sum, [, count]) => sum + Number(count), 0);
    const shotsOfAll = async (): Promise<number> => (await Promise.all(hosts.map(shotsOf))).reduce((sum, shots) => sum + shots, 0);
    const until = async (isSo: () => Promise<boolean>): Promise<void> => {
      while (!(await isSo())) await sleep(250);
    };
    await until(async () => (await Promise.all(hosts.map(shotsOf))).every((shots) => shots >= 1));
    server.freeze();
    const before = await shotsOfAll();
    await sleep(stillMs);
    const shotsMeanwhile = (await shotsOfAll()) - before;
    const loopDelayP99S = Math.max(
      ...(await Promise.all(
        hosts.map(async (host) => ((await ask(host, '/healthz')) as { eventLoopDelayS: { p99: number } }).eventLoopDelayS.p99),
      )),
    );
    server.thaw();
    await until(async () => (await Promise.all(hosts.map(shotsOf))).every((shots) => shots >= shotsEach));
    await until(async () => (await readFleet(target, { nowUtcMs: Date.now(), days: 1 }, 100)).rigs.length === RIGS.length);
    const fleetWhile = await readFleet(target, { nowUtcMs: Date.now(), days: 1 }, 100);
    const states = (await Promise.all(hosts.map((host) => ask(host, '/api/series')))) as SeriesState[];
    for (const { command } of hosts) command.interrupt();
    for (const { command } of hosts) {
      const { exitCode, stderr } = await command.finished();
      if (exitCode !== 0) throw new Error(`a host ended with ${exitCode}: ${stderr}`);
    }
    // What a host could not send in its last seconds goes with its next session.
    for (const { data } of hosts)
      await new Exporter({ server: target, root: data, journals: join(data, 'journals') }).run(new AbortController().signal);
    const shots = new Map<string, number>();
    const lines: string[] = [];
    for (const { rig, data } of hosts) {
      const journals = join(data, 'journals');
      const own = readdirSync(journals).flatMap((name) => expectedLines(join(journals, name), 'victoria-metrics', target.tags));
      shots.set(rig, own.filter((line) => line.startsWith('shot,') && line.includes('revision=0i')).length);
      for (const line of own) lines.push(line);
    }
    const held = await heldBy(server);
    const fleetAfter = await readFleet(target, { nowUtcMs: Date.now(), days: 1 }, 100);
    const comparison = compare(asVictoriaHolds(pointsOfLines(lines)), held, DECIMAL_MANTISSAS);
    return { comparison, fleetWhile, fleetAfter, shots, loopDelayP99S, shotsMeanwhile, states };
  } finally {
    server.thaw();
    for (const command of commands) await command.kill();
    for (const range of ranges) await range.close();
    await server.end('SIGTERM');
  }
}

function writeRigFile(place: string, rig: string, url: string): string {
  const path = join(place, 'rig.yaml');
  mkdirSync(place, { recursive: true });
  const heron = rigFileText({ pace: 'fast', faults: [], todayMs: Date.now() }).replace(/^name: Heron$/m, `name: ${rig}`);
  writeFileSync(path, `${heron}\ntimeSeries:\n  kind: victoria-metrics\n  url: ${url}\n  tags: { centre: Cold Sike }\n`);
  return path;
}

const ask = async (host: Host, path: string): Promise<unknown> => JSON.parse(await askText(host, path));

/** A machine that is busy with four hosts may keep a question waiting for longer than a host allows; it is asked again. */
async function askText({ url }: Host, path: string): Promise<string> {
  for (let tries = 1; ; tries += 1) {
    const answer = await fetch(`${url}${path}`).catch((error: unknown) => error);
    const text = answer instanceof Response ? await answer.text().catch(() => '') : '';
    if (answer instanceof Response && text !== '') return text;
    if (tries >= 20) throw new Error(`${path} is not answered`, { cause: answer });
    await sleep(250);
  }
}
