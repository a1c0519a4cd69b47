/** Instruments, host and viewers, each in a process of its own, for so long: what was lost, how late it was, what it cost. */
import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { FLEET, fleetRig } from '../instruments/fleet.ts';
import { FleetProcess } from '../instruments/fleet-process.ts';
import { type ChannelCount, countJournal } from '../instruments/journal-count.ts';
import type { ShotWritten } from '../instruments/shot-course.ts';
import { type HostCost, HostProcess } from './host-process.ts';
import type { ViewerCount } from './viewer.ts';

const VIEWERS = fileURLToPath(new URL('./viewers.ts', import.meta.url));
const LOOK_EVERY_S = 10;
/** What boards have still on the way, and at most so long for the last shot's closing. */
const AFTERWARDS_S = { atLeast: 2, atMost: 15 } as const;

export interface LoadOptions {
  readonly seed: number;
  readonly seconds: number;
  readonly healthy: number;
  readonly slow: number;
  readonly vanishing: number;
}

export interface ViewersResult {
  readonly counts: readonly ChannelCount[];
  readonly taken: Readonly<Record<string, number>>;
  readonly viewers: readonly ViewerCount[];
  /** In the order of their firing: the first is shot 1. */
  readonly shots: readonly ShotWritten[];
  /** Each 10 s, of one core. */
  readonly cpuShares: readonly number[];
  /** At the same moments. */
  readonly residentBytes: readonly number[];
  readonly thinned: number;
  readonly dropped: number;
  readonly exitCode: number | null;
}

export async function underViewers(options: LoadOptions): Promise<ViewersResult> {
  const { seed, seconds, healthy, slow, vanishing } = options;
  const folder = mkdtempSync(join(tmpdir(), 'postern-load-'));
  const wires = join(folder, 'wires');
  mkdirSync(wires);
  const rigFile = join(folder, 'rig.yaml');
  writeFileSync(
    rigFile,
    fleetRig('count', (name) => join(wires, name)),
  );
  const fleet = await FleetProcess.start(wires, { seed, mode: 'count' });
  const host = await HostProcess.start(rigFile, join(folder, 'data'), healthy + slow + vanishing);
  // Not before: what instruments say while nobody has their ports open is nobody's loss.
  await fleet.tell('begin');
  await host.isReady(FLEET.filter(({ kind }) => kind === 'gate-board').length);
  const crowd = await startViewers([host.url, seed, healthy, slow, vanishing].map(String));
  await fleet.tell('fire');
  const costs = await costsOver(host, seconds);
  const { counts: taken } = await fleet.tell('counts');
  const { shots } = await fleet.tell('cease');
  const viewers = await shownAll(crowd, shots.length);
  const [thinned = 0] = await host.metric('postern_viewers_thinned');
  const [dropped = 0] = await host.metric('postern_viewers_dropped');
  await crowd.end();
  const exitCode = await host.end();
  await fleet.stop();
  const counts = countJournal(host.journal);
  rmSync(folder, { recursive: true, force: true });
  return { counts, taken, viewers, shots, ...costs, thinned, dropped, exitCode };
}

/** Resolves once every healthy viewer has been shown so many closed shots, or nobody can hope for it any more. */
async function shownAll(crowd: Crowd, shots: number): Promise<readonly ViewerCount[]> {
  for (let s: number = AFTERWARDS_S.atLeast; ; s += 1) {
    await sleepS(s === AFTERWARDS_S.atLeast ? s : 1);
    const viewers = await crowd.count();
    if (s >= AFTERWARDS_S.atMost || viewers.every(({ kind, closed }) => kind !== 'healthy' || closed.length >= shots)) return viewers;
  }
}

async function costsOver(host: HostProcess, seconds: number): Promise<Pick<ViewersResult, 'cpuShares' | 'residentBytes'>> {
  const looks: (HostCost & { readonly atS: number })[] = [];
  const look = (): void => void looks.push({ ...host.cost(), atS: performance.now() / 1000 });
  look();
  for (let s = 0; s < seconds; s += LOOK_EVERY_S) {
    await sleepS(Math.min(LOOK_EVERY_S, seconds - s));
    look();
  }
  const cpuShares = looks.slice(1).map((next, i) => {
    const before = looks[i] ?? next;
    return (next.cpuS - before.cpuS) / (next.atS - before.atS);
  });
  return { cpuShares, residentBytes: looks.map(({ residentBytes }) => residentBytes) };
}

interface Crowd {
  count(): Promise<readonly ViewerCount[]>;
  end(): Promise<void>;
}

async function startViewers(args: readonly string[]): Promise<Crowd> {
  const child: ChildProcess = fork(VIEWERS, args, { execArgv: ['--import', 'tsx'] });
  await once(child, 'message', { signal: AbortSignal.timeout(60_000) });
  return {
    async count() {
      const answer = once(child, 'message', { signal: AbortSignal.timeout(60_000) });
      child.send('count');
      return (await answer)[0] as readonly ViewerCount[];
    },
    async end() {
      const ended = once(child, 'exit');
      child.send('end');
      await ended;
    },
  };
}

const sleepS = (seconds: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, 1000 * seconds));
