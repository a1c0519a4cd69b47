/** What each mishap does to the simulated range and host; counted where it truly acts. */
import type { Range } from '../../firmware-sim/range.ts';
import type { SimulatedDisk } from './disk.ts';
import type { FaultTally } from './fault-counts.ts';
import type { HostLife } from './host-life.ts';
import { SimulatedPage } from './pages.ts';
import type { LinkName, Mishap } from './plan-of-faults.ts';
import type { SimulatedPort } from './ports.ts';

/** What a mishap can reach of a simulation. */
export interface Afflicted {
  readonly tally: FaultTally;
  readonly disk: SimulatedDisk;
  readonly ports: ReadonlyMap<LinkName, SimulatedPort>;
  readonly range: Range;
  /** Undefined while none lives. */
  readonly host: HostLife | undefined;
  readonly nowS: number;
  /** In how long a host killed in a write comes back. */
  downAfterWriteS: number;
  /** Something that lasts. */
  until(atS: number, end: () => void): void;
  kill(how: 'killed' | 'power cut', downS: number): void;
  stopHost(downS: number): Promise<void>;
  standStill(forS: number): void;
  stepClock(byMs: number): void;
}

export async function act(mishap: Mishap, simulation: Afflicted): Promise<void> {
  const { tally, disk, ports, host, nowS } = simulation;
  switch (mishap.what) {
    case 'unplug': {
      const port = ports.get(mishap.link);
      if (port?.identity === undefined) return;
      tally.add('unplugged');
      port.setPlugged(false);
      return simulation.until(nowS + mishap.forS, () => port.setPlugged(true));
    }
    case 'busy': {
      const port = ports.get(mishap.link);
      if (port === undefined) return;
      port.isBusy = true;
      // An open port is not taken away by it; one that is lost meanwhile is.
      port.setPlugged(false);
      port.setPlugged(true);
      return simulation.until(nowS + mishap.forS, () => {
        port.isBusy = false;
      });
    }
    case 'hold': {
      const port = ports.get(mishap.link);
      port?.holdUntil(nowS + mishap.forS);
      if (mishap.forS > 1) tally.add('stalled link');
      return;
    }
    case 'reset board':
      tally.add(isMidShot(simulation) ? 'board reset in mid-shot' : 'board reset');
      return simulation.range.restartGateBoard(nowS);
    case 'kill':
    case 'cut power': {
      if (host === undefined) return;
      if (isMidShot(simulation)) tally.add('host killed in mid-shot');
      tally.add(mishap.what === 'kill' ? 'host killed' : 'power cut');
      simulation.kill(mishap.what === 'kill' ? 'killed' : 'power cut', mishap.downS);
      if (mishap.boardToo) simulation.range.restartGateBoard(nowS);
      return;
    }
    case 'kill in writes':
      simulation.downAfterWriteS = mishap.downS;
      return disk.killInWrites(mishap.writes);
    case 'stop':
      if (host === undefined) return;
      tally.add('host stopped in order');
      return simulation.stopHost(mishap.downS);
    case 'stand still':
      if (host === undefined) return;
      tally.add('host stood still');
      return simulation.standStill(mishap.forS);
    case 'full disk':
    case 'read-only disk':
      disk.refusal = mishap.what === 'full disk' ? 'ENOSPC' : 'EROFS';
      return simulation.until(nowS + mishap.forS, () => {
        disk.refusal = undefined;
      });
    case 'failed sync':
      disk.failsSync = true;
      return simulation.until(nowS + mishap.forS, () => {
        disk.failsSync = false;
      });
    case 'slow sync': {
      const before = disk.syncMs;
      disk.syncMs = [mishap.ms / 2, mishap.ms];
      return simulation.until(nowS + mishap.forS, () => {
        disk.syncMs = before;
      });
    }
    case 'step clock':
      tally.add('clock stepped');
      return simulation.stepClock(mishap.byMs);
    case 'page':
      if (mishap.bytesPerMs < 1000) tally.add('slow page');
      return host?.addPage(new SimulatedPage(mishap));
    case 'page vanishes': {
      const page = host?.pages.find(({ readyState }) => readyState === 1);
      if (page === undefined) return;
      tally.add('vanished page');
      return page.vanish();
    }
    case 'page resumes': {
      const page = host?.pages.find(({ readyState, seq }) => readyState === 1 && seq !== undefined);
      if (host === undefined || page?.seq === undefined || page.sessionId === undefined) return;
      tally.add('resumed page');
      page.vanish();
      const again = new SimulatedPage({ bytesPerMs: 10_000, backlogBytes: 0 });
      again.seq = page.seq;
      again.sessionId = page.sessionId;
      for (const id of page.closedShots) again.closedShots.add(id);
      return host.addPage(again, { sessionId: page.sessionId, since: page.seq });
    }
  }
}

/** From the firing until the shot is told and acknowledged. */
function isMidShot({ range, nowS }: Afflicted): boolean {
  return range.truth.some(({ firedAtS }) => nowS >= firedAtS && nowS < firedAtS + 0.1);
}
