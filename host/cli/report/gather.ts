/** All that a session's report is made of. */
import type { DragShot, MapSession, MapSource, RigSummary, Shot, StoredAct } from '../../../protocol/index.ts';
import { type DataFolder, journalPath } from '../data/data-folder.ts';
import { rigOfRunningHost, sessionOfRunningHost, shotOfRunningHost, shotsOfRunningHost } from '../data/running-host.ts';
import { fromStore } from '../data/stored.ts';
import { CommandError } from '../output.ts';
import { type JournalFacts, journalFacts } from './journal-facts.ts';

export interface ReportFacts {
  readonly sessionId: string;
  readonly openedAt: string;
  readonly softwareVersion: string;
  readonly rig: RigSummary;
  /** Oldest first, with their traces. */
  readonly shots: readonly Shot[];
  /** Of this rig, of all sessions, for map and drag. */
  readonly dragShots: readonly DragShot[];
  readonly mapShots: readonly MapSource[];
  readonly mapSessions: readonly MapSession[];
  /** What later sessions did to these shots, oldest first: it is in their journals. */
  readonly laterActs: readonly StoredAct[];
  /** undefined where the journal is not in its folder. */
  readonly journal: JournalFacts | undefined;
}

/** A day of two hundred would be a book; more than this is none. */
export const REPORT_SHOTS_MAX = 500;
const CURVE_SHOTS_MAX = 1000;

type Stored = Omit<ReportFacts, 'journal'>;

/**
 * @param asked  the session's id; left out, the newest
 * @throws CommandError where there is no such session, or nobody can be asked
 */
export async function gatherReport(folder: DataFolder, asked: string | undefined): Promise<ReportFacts> {
  const stored = await fromStore<Stored | null>(
    folder,
    async (store) => {
      const sessions = await store.sessions();
      const session = asked === undefined ? sessions[0] : sessions.find(({ id }) => id === asked);
      if (!session) return null;
      const rig = { rig: session.rig.name, limit: CURVE_SHOTS_MAX };
      const shots = await store.shots({ sessionId: session.id, limit: REPORT_SHOTS_MAX + 1 });
      const [dragShots, mapShots] = [await store.dragShots(rig), await store.mapShots(rig)];
      const { id: sessionId, openedAt, softwareVersion } = session;
      const laterActs = await store.laterActs(sessionId);
      return { sessionId, openedAt, softwareVersion, rig: session.rig, shots, laterActs, dragShots, mapShots, mapSessions: sessions };
    },
    () => ofRunningHost(folder, asked),
    null,
  );
  if (!stored) {
    const which = asked === undefined ? 'no session yet' : `no session ${asked}`;
    throw new CommandError(
      `There is ${which} in ${folder.root}; postern shots lists its shots, and the part before the last - is their session.`,
    );
  }
  if (stored.shots.length > REPORT_SHOTS_MAX)
    throw new CommandError(`Session ${stored.sessionId} has more than ${REPORT_SHOTS_MAX} shots: too many for one report.`);
  const shots = stored.shots.toSorted((a, b) => a.number - b.number);
  return { ...stored, shots, journal: journalFacts(journalPath(folder, stored.sessionId), shots) };
}

/** The host that holds the store lists shots without their traces; each is fetched whole. */
async function ofRunningHost(folder: DataFolder, asked: string | undefined): Promise<Stored | undefined> {
  const running = await sessionOfRunningHost(folder);
  const rig = running === undefined ? undefined : await rigOfRunningHost(folder, running);
  const listed = await shotsOfRunningHost(folder);
  if (running === undefined || !rig || !listed) return undefined;
  if (asked !== undefined && asked !== running) {
    throw new CommandError(`While session ${running} runs only its own report can be made; that of ${asked} once it has ended.`);
  }
  const whole = await Promise.all(
    listed
      .filter(({ sessionId }) => sessionId === running)
      .slice(0, REPORT_SHOTS_MAX + 1)
      .map(({ id }) => shotOfRunningHost(folder, id)),
  );
  const ofRig = listed.filter(({ rigName }) => rigName === rig.name);
  return {
    sessionId: running,
    openedAt: '',
    softwareVersion: '',
    rig,
    shots: whole.flatMap((shot) => shot ?? []),
    // It is the latest itself.
    laterActs: [],
    dragShots: ofRig,
    mapShots: ofRig,
    mapSessions: [{ id: running, rig }],
  };
}
