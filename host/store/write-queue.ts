/**
 * What waits to be written. Bounded: a disk that hangs must not fill the memory of a host that records.
 *
 * Shots are never dropped, nor is what was last said of one, and a newer one takes the place of an older one of the same id, so they
 * number as many as were fired while the disk hung. Samples have a bound of their own, beyond which their oldest ten seconds
 * go; what their counts mean stays, or later ones could not be read. All else together has a bound; on reaching it the
 * oldest event goes, where there is none the oldest session. Each is counted, and `postern rebuild` brings all of them back.
 */
import { type CameraRow, cameraKey } from './cameras.ts';
import type { EventRow } from './news.ts';
import type { ExclusionRow, SessionRow, ShotRow } from './rows.ts';
import type { SampleWindow } from './samples/sample-window.ts';

export interface Batch {
  readonly sessions: readonly SessionRow[];
  readonly shots: readonly ShotRow[];
  readonly exclusions: readonly ExclusionRow[];
  readonly cameras: readonly CameraRow[];
  readonly events: readonly EventRow[];
  readonly windows: readonly SampleWindow[];
}

export interface Dropped {
  readonly samples: number;
  readonly events: number;
  readonly sessions: number;
}

export interface WriteQueue {
  addSession(row: SessionRow): void;
  addShot(row: ShotRow): void;
  addExclusion(row: ExclusionRow): void;
  addCamera(row: CameraRow): void;
  addEvent(row: EventRow): void;
  addWindow(window: SampleWindow): void;
  /** Takes what may be written now, in batches of bounded size; undefined where there is nothing. */
  take(): Batch | undefined;
  /** A batch that could not be written goes back to the front. */
  putBack(batch: Batch, exceptSessions: ReadonlySet<string>): void;
  removeSession(session: string): void;
  /** Samples not counted. */
  readonly rowsWaiting: number;
  readonly samplesWaiting: number;
  readonly dropped: Dropped;
}

/** In one transaction; shots with their traces are some 100 kB each. */
const BATCH_ROWS = 5000;
const BATCH_SHOTS = 200;
const BATCH_SAMPLES = 200_000;
/** Windows may be of one sample each: those beside a sample. */
const WINDOW_SAMPLES = 16;

export interface QueueBounds {
  /** On all rows that are neither shots, nor said of one, nor samples; ≥ 1. */
  readonly rowsMax: number;
  readonly samplesMax: number;
}

export function createWriteQueue({ rowsMax, samplesMax }: QueueBounds): WriteQueue {
  const shots = new Map<string, ShotRow>();
  const exclusions = new Map<string, ExclusionRow>();
  const cameras = new Map<string, CameraRow>();
  let sessions: SessionRow[] = [];
  let eventRows: EventRow[] = [];
  let windows: SampleWindow[] = [];
  let samplesWaiting = 0;
  const dropped = { samples: 0, events: 0, sessions: 0 };

  const weight = ({ samples }: SampleWindow) => samples + WINDOW_SAMPLES;
  const weigh = () => {
    samplesWaiting = windows.reduce((sum, window) => sum + weight(window), 0);
  };
  const holdSamples = () => {
    for (let i = 0; i < windows.length && samplesWaiting > samplesMax; i++) {
      const window = windows[i] as SampleWindow;
      if (window.samples === 0) continue;
      const meaning = window.calibrations.length > 0;
      const rest: SampleWindow = { ...window, blocks: [], readings: [], tenths: [], seconds: [], tens: [], minutes: [], samples: 0 };
      if (meaning) windows[i] = rest;
      else windows.splice(i--, 1);
      dropped.samples += window.samples;
      samplesWaiting -= meaning ? window.samples : weight(window);
    }
  };
  const others = () => eventRows.length + sessions.length;
  const hold = () => {
    while (others() > rowsMax) {
      if (eventRows.shift() !== undefined) dropped.events++;
      else if (sessions.shift() !== undefined) dropped.sessions++;
    }
  };
  const takeWindows = () => {
    let samples = 0;
    let n = 0;
    for (const window of windows) {
      if (n > 0 && samples + weight(window) > BATCH_SAMPLES) break;
      samples += weight(window);
      n++;
    }
    samplesWaiting -= samples;
    return windows.splice(0, n);
  };

  return {
    addSession(row) {
      sessions = sessions.filter(({ session }) => session !== row.session);
      sessions.push(row);
      hold();
    },
    addShot(row) {
      shots.set(row.id, row);
    },
    addExclusion(row) {
      exclusions.set(row.shot, row);
    },
    addCamera(row) {
      cameras.set(cameraKey(row), row);
    },
    addEvent(row) {
      eventRows.push(row);
      hold();
    },
    addWindow(window) {
      windows.push(window);
      samplesWaiting += weight(window);
      holdSamples();
    },
    take() {
      const rows = sessions.length + eventRows.length + windows.length;
      if (rows + shots.size + exclusions.size + cameras.size === 0) return undefined;
      const someShots = [...shots.values()].slice(0, BATCH_SHOTS);
      for (const { id } of someShots) shots.delete(id);
      const said = [...exclusions.values()].slice(0, BATCH_ROWS);
      for (const { shot } of said) exclusions.delete(shot);
      const seen = [...cameras.values()].slice(0, BATCH_SHOTS);
      for (const row of seen) cameras.delete(cameraKey(row));
      return {
        sessions: sessions.splice(0),
        shots: someShots,
        exclusions: said,
        cameras: seen,
        events: eventRows.splice(0, BATCH_ROWS),
        windows: takeWindows(),
      };
    },
    putBack(batch, exceptSessions) {
      const kept = <Row extends { readonly session: string }>(rows: readonly Row[]) =>
        rows.filter(({ session }) => !exceptSessions.has(session));
      for (const row of kept(batch.shots)) if (!shots.has(row.id)) shots.set(row.id, row);
      for (const row of kept(batch.exclusions)) if (!exclusions.has(row.shot)) exclusions.set(row.shot, row);
      for (const row of kept(batch.cameras)) if (!cameras.has(cameraKey(row))) cameras.set(cameraKey(row), row);
      const newer = new Set(sessions.map(({ session }) => session));
      sessions = [...kept(batch.sessions).filter(({ session }) => !newer.has(session)), ...sessions];
      eventRows = [...kept(batch.events), ...eventRows];
      windows = [...kept(batch.windows), ...windows];
      hold();
      weigh();
      holdSamples();
    },
    removeSession(session) {
      const other = (row: { readonly session: string }) => row.session !== session;
      for (const [id, row] of shots) if (!other(row)) shots.delete(id);
      for (const [shot, row] of exclusions) if (!other(row)) exclusions.delete(shot);
      for (const [key, row] of cameras) if (!other(row)) cameras.delete(key);
      eventRows = eventRows.filter(other);
      windows = windows.filter(other);
      weigh();
      sessions = sessions.filter(other);
    },
    get rowsWaiting() {
      return shots.size + exclusions.size + cameras.size + others() + windows.length;
    },
    get samplesWaiting() {
      return samplesWaiting;
    },
    get dropped() {
      return { ...dropped };
    },
  };
}
