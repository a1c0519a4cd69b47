/** Wires one live session: boards → journal → pipeline → store and pages. What is opened here is closed here. */
import { rmSync } from 'node:fs';
import { release, type } from 'node:os';
import { basename } from 'node:path';
import type { PipelineEvent, Shot } from '../../../protocol/index.ts';
import { type JournalHead, type JournalProblem, JournalWriter, type JournalWriterPorts } from '../../journal/index.ts';
import { type ListPorts, PortBook } from '../../links/index.ts';
import { LiveFeed, limitsFor, serverLog } from '../../serve/index.ts';
import { Store } from '../../store/index.ts';
import { CloseStack } from '../close-stack.ts';
import { type DataFolder, journalPath, journalsIn, newSessionId } from '../data/data-folder.ts';
import { writeHostFile } from '../data/host-file.ts';
import { SessionDragDesk } from '../drag/drag-desk.ts';
import { logEvent } from '../log/event-log.ts';
import type { HostLog } from '../log/host-log.ts';
import { SessionMapDesk } from '../map/session-map-desk.ts';
import { SessionDesk } from '../operator/session-desk.ts';
import { CommandError, messageOf, warn } from '../output.ts';
import { SideReplays } from '../replay/side-replays.ts';
import { openRigFile } from '../rig/rig-file.ts';
import { SessionSeries } from '../series/session-series.ts';
import { seriesServer } from '../series/settings.ts';
import { type Listening, type ListenOptions, listeningOf, outerAddresses } from '../serving/listening.ts';
import { PAGES_DIR, servePages } from '../serving/pages.ts';
import { SessionRigFile } from '../set-up/session-rig-file.ts';
import { ClosedShots } from '../shots/closed-shots.ts';
import { SOFTWARE_VERSION } from '../version.ts';
import { SessionVitals } from '../vitals/host-vitals.ts';
import { LoopDelayWatch } from '../vitals/loop-delay.ts';
import { SessionTally } from '../vitals/session-tally.ts';
import { shortPath } from './board-links.ts';
import { RecordingWatch } from './recording-watch.ts';
import { rehearse } from './rehearsal.ts';
import { realTime, type SessionTime } from './session-clock.ts';
import { wireSession } from './session-wiring.ts';

export interface LiveSessionOptions extends ListenOptions {
  readonly rigFile: string;
  /** A file of what this session asks of its shots; left out, as the rig file says. */
  readonly accept?: string;
  readonly folder: DataFolder;
  readonly onEvent: (event: PipelineEvent) => void;
  readonly log?: HostLog;
  /** Begun just now; left out: the system's. */
  readonly time?: SessionTime;
  /** Pages at a time. */
  readonly viewersMax?: number;
  /** Where a board that has left its path is looked for; left out: this machine's USB ports. */
  readonly listPorts?: ListPorts;
  /** Another way to make the journal: tests put a failing disk below it. */
  readonly createJournal?: (path: string, head: JournalHead, ports: JournalWriterPorts) => JournalWriter;
}

export interface LiveSession {
  readonly sessionId: string;
  readonly journal: string;
  readonly url: string;
  readonly port: number;
  /** With the keys to look and to act in it, to be shown to nobody else. */
  readonly listening: Listening;
  /** Lets invented shots through code that has not run yet, so that the first real one is seen as soon as all later ones. */
  rehearse(): void;
  /** Opens the links to the boards. */
  start(): void;
  /** Closed shots, oldest first. */
  readonly shots: readonly Shot[];
  /** What is true of the journal should the process end at this moment. */
  lastWords(): string;
  /**
   * Closes the links, the shot that is still open, and then every part, whatever the others do.
   * @throws (rejects) what failed first
   */
  close(): Promise<void>;
}

/** @throws CommandError with exit code 2 where the rig file does not hold, 1 where a port or the disk refuses */
export async function openLiveSession(options: LiveSessionOptions): Promise<LiveSession> {
  const parts = new CloseStack();
  try {
    return await open(options, parts);
  } catch (error) {
    throw await parts.closeAfter(error);
  }
}

async function open(options: LiveSessionOptions, parts: CloseStack): Promise<LiveSession> {
  const { rigFile, folder, accept } = options;
  const listening = listeningOf(options);
  const log = options.log?.logger ?? serverLog();
  const { text, rig } = await openRigFile(rigFile, accept);
  const seriesHost = seriesServer(rig, rigFile);
  const series =
    seriesHost &&
    new SessionSeries(seriesHost, (sentence) => {
      warn(sentence);
      log.warn(sentence);
    });
  const store = await Store.open(folder.store, {
    onProblem: ({ code, message }) => {
      warn(message);
      log.warn({ code }, message);
    },
  });
  parts.add(() => store.close());
  tellUnfilled(store, folder);
  const feed = new LiveFeed({ mode: 'live' });
  const { clock, utcNowUs } = options.time ?? realTime();
  const utcUs = utcNowUs();
  const desk = new SessionDesk(() => clock.nowNs(), store);
  const vitals = new SessionVitals();
  const maps = new SessionMapDesk(store);
  parts.add(() => maps.close());
  const drags = new SessionDragDesk(store);
  parts.add(() => drags.close());
  const sideReplays = new SideReplays({ folder, listening, hostPort: () => server.port, sessionNow: () => feed.sessionId });
  parts.add(() => sideReplays.close());
  const server = await servePages({
    feed,
    store,
    history: store,
    desk,
    maps,
    drags,
    sideReplays,
    ...listening,
    addresses: (port) => outerAddresses(listening, port),
    log,
    vitals,
    ...(series ? { series } : {}),
    rigFile: new SessionRigFile(rigFile, text, accept),
    limits: limitsFor(options.viewersMax),
    pagesDir: PAGES_DIR,
    nowNs: () => clock.nowNs(),
  });
  parts.add(() => server.close());

  const sessionId = refusing(`The journals folder ${folder.journals} cannot be read`, () => newSessionId(folder, utcUs / 1000));
  const { crewToken, lookToken } = listening.doors;
  const host = { pid: process.pid, url: server.url, sessionId, token: crewToken, ...(lookToken ? { look: lookToken } : {}) };
  refusing(`${folder.hostFile} cannot be written`, () => writeHostFile(folder, host));
  parts.add(() => rmSync(folder.hostFile, { force: true }));

  if (options.log) options.log.session = sessionId;
  const path = journalPath(folder, sessionId);
  const recording = new RecordingWatch({ nowNs: () => clock.nowNs(), show: (state) => feed.tellRecording(state), warn });
  const onProblem = (problem: JournalProblem): void => {
    recording.take(problem);
    log[problem.message === '' ? 'info' : 'error']({ ...problem }, 'journal');
  };
  const head = { sessionId, originUtcNs: BigInt(utcUs) * 1000n, softwareVersion: SOFTWARE_VERSION };
  // Ended after the journal, whose last records are sent too.
  parts.add(() => series?.close());
  const { createJournal = JournalWriter.create } = options;
  const journal = refusing(`The journal ${path} cannot be made`, () => createJournal(path, head, { onProblem }));
  parts.add(() => closeJournal(journal, shortPath(path)));

  const shots = new ClosedShots();
  const tally = new SessionTally(rig.boards.map(({ name }) => name));
  const loop = new LoopDelayWatch();
  parts.add(() => loop.close());
  vitals.open({ sessionId, journal, store, tally, loop, log: options.log, ...(series ? { series } : {}) });
  const versions = { version: SOFTWARE_VERSION, node: process.version, system: `${type()} ${release()}` };
  log.info({ ...versions, rigFile: shortPath(rigFile), journal: shortPath(path), url: server.url }, 'session begins');
  parts.add(() => log.info({ ...versions, shots: shots.all.length }, 'session ended'));
  const wiring = wireSession(
    { sessionId, rigFile, text, rig, utcUs },
    {
      clock,
      utcNowUs,
      journal: {
        append: (record) => {
          tally.takeRecord(record);
          return journal.append(record);
        },
        sync: () => journal.sync(),
      },
      desk,
      book: new PortBook(options.listPorts ? { list: options.listPorts } : {}),
      onEvents: (events) => {
        for (const event of events) {
          feed.accept(event);
          shots.take(event);
          tally.takeEvent(event);
          logEvent(log, event);
          options.onEvent(event);
        }
        store.apply(sessionId, events);
      },
      onTick: () => recording.look(journal.problem),
    },
    parts,
  );
  series?.begin(folder, sessionId);
  return {
    sessionId,
    journal: shortPath(path),
    url: server.url,
    port: server.port,
    listening,
    get shots() {
      return shots.all;
    },
    rehearse: () => {
      try {
        rehearse({ rig, text, fileName: basename(rigFile) });
      } catch (error) {
        // A session is not given up for it; its own shots will show whatever is wrong.
        log.error({ err: error }, 'the rehearsal failed');
      }
    },
    start: () => wiring.start(),
    lastWords: () =>
      recording.trouble === ''
        ? 'Stopped at once; the journal holds every record up to now, and is read as after a crash.'
        : `Stopped at once; the disk had not taken all of the journal (${recording.trouble}). postern replay says what it holds.`,
    close: () => parts.close(),
  };
}

/** Who deleted a store, or brought journals from elsewhere, may not know how it is filled. */
function tellUnfilled(store: Store, folder: DataFolder): void {
  const journals = store.found === 'new' ? refusing(`The journals folder ${folder.journals} cannot be read`, () => journalsIn(folder)) : 0;
  if (journals > 0) {
    const said = `There was no store in ${folder.root}, and there are ${journals} journals`;
    warn(`${said}: a new one was made; once this session has ended, "postern rebuild" fills it from them.`);
  }
}

/** A refusal of the system as a sentence. */
function refusing<T>(what: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    throw new CommandError(`${what}: ${messageOf(error)}`, 1, { cause: error });
  }
}

async function closeJournal(journal: JournalWriter, path: string): Promise<void> {
  try {
    await journal.close();
  } catch (error) {
    throw new CommandError(`The journal ${path} is not whole (${messageOf(error)}); a replay reads it as after a crash.`, 1, {
      cause: error,
    });
  }
}
