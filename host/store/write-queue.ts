/**
 * What waits to be written. Bounded: a disk that hangs must not fill the memory of a host that records.
 *
 * Shots are never dropped, nor is what was last said of one, and a newer one takes the place of an older one of the same id, so they
 * number as many as were fired while the disk hung. All else together has a bound; on reaching it the oldest per-second summary goes,
 * where there is none the oldest link event, then the oldest note, then the oldest session. Each is counted, and
 * `postern rebuild` brings all of them back.
 */
import { type CameraRow, cameraKey } from './cameras.ts';
import { type ExclusionRow, type LinkRow, mergeSeconds, type NoteRow, type SecondRow, type SessionRow, type ShotRow } from './rows.ts';

export interface Batch {
  readonly sessions: readonly SessionRow[];
  readonly shots: readonly ShotRow[];
  readonly exclusions: readonly ExclusionRow[];
  readonly cameras: readonly CameraRow[];
  readonly seconds: readonly SecondRow[];
  readonly notes: readonly NoteRow[];
  readonly links: readonly LinkRow[];
}

export interface Dropped {
  readonly seconds: number;
  readonly links: number;
  readonly notes: number;
  readonly sessions: number;
}

export interface WriteQueue {
  addSession(row: SessionRow): void;
  addShot(row: ShotRow): void;
  addExclusion(row: ExclusionRow): void;
  addCamera(row: CameraRow): void;
  addSecond(row: SecondRow): void;
  addNote(row: NoteRow): void;
  addLink(row: LinkRow): void;
  /** Takes what may be written now, in batches of bounded size; undefined where there is nothing. The running second of a channel waits, unless asked for. */
  take(withRunning: boolean): Batch | undefined;
  /** A batch that could not be written goes back to the front. */
  putBack(batch: Batch, exceptSessions: ReadonlySet<string>): void;
  removeSession(session: string): void;
  readonly rowsWaiting: number;
  readonly dropped: Dropped;
}

/** In one transaction; shots with their traces are some 100 kB each. */
const BATCH_ROWS = 5000;
const BATCH_SHOTS = 200;

/** @param rowsMax  bound on all rows that are neither shots nor said of one, ≥ 1 */
export function createWriteQueue(rowsMax: number): WriteQueue {
  const shots = new Map<string, ShotRow>();
  const exclusions = new Map<string, ExclusionRow>();
  const cameras = new Map<string, CameraRow>();
  const running = new Map<string, SecondRow>();
  let seconds: SecondRow[] = [];
  let links: LinkRow[] = [];
  let notes: NoteRow[] = [];
  let sessions: SessionRow[] = [];
  const dropped = { seconds: 0, links: 0, notes: 0, sessions: 0 };

  const others = () => seconds.length + running.size + links.length + notes.length + sessions.length;
  const hold = () => {
    while (others() > rowsMax) {
      if (seconds.shift() !== undefined) dropped.seconds++;
      else if (dropOldestRunning()) dropped.seconds++;
      else if (links.shift() !== undefined) dropped.links++;
      else if (notes.shift() !== undefined) dropped.notes++;
      else if (sessions.shift() !== undefined) dropped.sessions++;
    }
  };
  const dropOldestRunning = () => {
    const [key] = running.keys();
    return key !== undefined && running.delete(key);
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
    addSecond(row) {
      const key = JSON.stringify([row.session, row.channel]);
      const current = running.get(key);
      if (current?.second === row.second) {
        running.set(key, mergeSeconds(current, row));
      } else if (current !== undefined && row.second < current.second) {
        seconds.push(row); // fetched late: its second was left behind
      } else {
        if (current !== undefined) seconds.push(current);
        running.set(key, row);
      }
      hold();
    },
    addNote(row) {
      notes.push(row);
      hold();
    },
    addLink(row) {
      links.push(row);
      hold();
    },
    take(withRunning) {
      if (withRunning) {
        seconds.push(...running.values());
        running.clear();
      }
      if (sessions.length + shots.size + exclusions.size + cameras.size + seconds.length + notes.length + links.length === 0)
        return undefined;
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
        seconds: seconds.splice(0, BATCH_ROWS),
        notes: notes.splice(0, BATCH_ROWS),
        links: links.splice(0, BATCH_ROWS),
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
      seconds = [...kept(batch.seconds), ...seconds];
      notes = [...kept(batch.notes), ...notes];
      links = [...kept(batch.links), ...links];
      hold();
    },
    removeSession(session) {
      const other = (row: { readonly session: string }) => row.session !== session;
      for (const [id, row] of shots) if (!other(row)) shots.delete(id);
      for (const [shot, row] of exclusions) if (!other(row)) exclusions.delete(shot);
      for (const [key, row] of cameras) if (!other(row)) cameras.delete(key);
      for (const [key, row] of running) if (!other(row)) running.delete(key);
      seconds = seconds.filter(other);
      links = links.filter(other);
      notes = notes.filter(other);
      sessions = sessions.filter(other);
    },
    get rowsWaiting() {
      return shots.size + exclusions.size + cameras.size + others();
    },
    get dropped() {
      return { ...dropped };
    },
  };
}
