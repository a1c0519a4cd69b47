/** What a host in a process of its own needs of a core beside ten instruments with 32 channels at 1 kHz, by how many pages watch. */
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { fleetRig } from '../instruments/fleet.ts';
import { FleetProcess } from '../instruments/fleet-process.ts';
import { HostProcess } from '../load/host-process.ts';

const VIEWERS = fileURLToPath(new URL('../load/viewers.ts', import.meta.url));
const SEED = 1;
/** For the snapshots that those who came are sent. */
const SETTLE_S = 1;

export interface ViewerCost {
  readonly viewers: number;
  /** User and system time of the host's process over the time that passed. */
  readonly coreShare: number;
}

export async function viewerCosts(options: {
  readonly counts: readonly number[];
  readonly secondsEach: number;
  readonly folder: string;
}): Promise<readonly ViewerCost[]> {
  const { counts, secondsEach, folder } = options;
  const wires = join(folder, 'wires');
  mkdirSync(wires);
  const rigFile = join(folder, 'rig.yaml');
  writeFileSync(
    rigFile,
    fleetRig('count', (name) => join(wires, name)),
  );
  const fleet = await FleetProcess.start(wires, { seed: SEED, mode: 'count' });
  const host = await HostProcess.start(rigFile, join(folder, 'data'), Math.max(...counts));
  try {
    await fleet.tell('begin');
    await host.isReady(1);
    const found: ViewerCost[] = [];
    for (const viewers of counts) {
      const crowd = fork(VIEWERS, [host.url, String(SEED), String(viewers), '0', '0'], { execArgv: ['--import', 'tsx'] });
      await once(crowd, 'message', { signal: AbortSignal.timeout(60_000) });
      await sleepS(SETTLE_S);
      const before = { ...host.cost(), atMs: performance.now() };
      await sleepS(secondsEach);
      const after = { ...host.cost(), atMs: performance.now() };
      found.push({ viewers, coreShare: (1000 * (after.cpuS - before.cpuS)) / (after.atMs - before.atMs) });
      const ended = once(crowd, 'exit');
      crowd.send('end');
      await ended;
    }
    return found;
  } finally {
    await host.end();
    await fleet.stop();
  }
}

const sleepS = (seconds: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, 1000 * seconds));
