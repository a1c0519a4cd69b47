/** A live session in this process, on an address, as `postern run` makes it: its journal is a list, its records come by hand. */
import { readFileSync } from 'node:fs';
import { openDataFolder } from '../../host/cli/data/data-folder.ts';
import { writeHostFile } from '../../host/cli/data/host-file.ts';
import { Session } from '../../host/cli/live/session.ts';
import { SessionDesk, type ShotBook } from '../../host/cli/operator/session-desk.ts';
import type { Allowance } from '../../host/serve/access/budget.ts';
import { LiveFeed, newToken, type ServeLimits, startServer } from '../../host/serve/index.ts';
import type { PipelineEvent, PosternRecord, RigRecord } from '../../protocol/index.ts';

const INSTRUMENTS = readFileSync(new URL('./instruments.yaml', import.meta.url), 'utf8');
export const AIR = { temperature: 285.2, pressure: 98_200, humidity: 0.61 };
/** Counts of the barrel's transducer at the pressure of the air, near enough: 98.4 kPa by its table of three points. */
export const BARREL_AT_AIR = 3083;

export const rigRecord = (text = INSTRUMENTS): RigRecord => ({
  kind: 'rig',
  source: 'host',
  atNs: 0,
  value: { sessionId: 'cs-crew', softwareVersion: '0.1.0', protocolVersion: 1, fileName: 'rig.yaml', text },
});

export interface CrewHostBounds {
  readonly limits?: Partial<ServeLimits>;
  /** Acts that it takes; left out, as many as any host. */
  readonly acts?: Allowance;
  /** Shots of earlier sessions; left out, none is known. */
  readonly book?: ShotBook;
}

export async function startCrewHost(data: string, { limits = {}, acts, book }: CrewHostBounds = {}) {
  const folder = openDataFolder(data);
  const feed = new LiveFeed({ mode: 'live' });
  const records: PosternRecord[] = [];
  const events: PipelineEvent[] = [];
  let syncs = 0;
  let nowNs = 0;
  let disk: Error | undefined;
  const sync = async (): Promise<void> => {
    syncs += 1;
    if (disk) throw disk;
  };
  const session = new Session({
    journal: { append: (record) => records.push(record) > 0, sync },
    send: () => undefined,
    onEvents: (told) => {
      for (const event of told) {
        feed.accept(event);
        events.push(event);
      }
    },
  });
  const desk = new SessionDesk(() => nowNs, book);
  desk.open({ take: (record) => session.take(record), sync, state: () => session.state });
  session.take({ kind: 'clock', source: 'host', atNs: 0, value: { utcUs: Date.UTC(2026, 2, 14, 9, 30) * 1000 } });
  session.take(rigRecord());
  const token = newToken();
  const server = await startServer({
    feed,
    desk,
    doors: { crewToken: token },
    limits: { ...limits, ...(acts ? { acts } : {}) },
    port: 0,
    pagesDir: '/nonexistent',
    nowNs: () => nowNs,
  });
  writeHostFile(folder, { pid: process.pid, url: server.url, sessionId: 'cs-crew', token });
  return {
    ...server,
    folder,
    records,
    events,
    session,
    token,
    syncs: () => syncs,
    /** Every board's weather and pins for so long, a reading every 100 ms. */
    feed(seconds: number, value: Readonly<Record<string, number>>) {
      for (let i = 0; i < seconds * 10; i += 1) {
        nowNs += 1e8;
        session.take({ kind: 'reading', source: 'weather', atNs: nowNs, value });
      }
      session.take({ kind: 'clock', source: 'host', atNs: nowNs, value: { utcUs: Date.UTC(2026, 2, 14, 9, 30) * 1000 + nowNs / 1e3 } });
    },
    breakDisk: () => {
      disk = new Error('ENOSPC: no space left on device');
    },
  };
}

export type CrewHost = Awaited<ReturnType<typeof startCrewHost>>;
