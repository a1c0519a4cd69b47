/** Wires one live session: boards → journal → pipeline → store and pages. What is opened here is closed here. */
import { rmSync } from 'node:fs';
import { basename } from 'node:path';
import { type PipelineEvent, type PosternRecord, type Shot, WIRE } from '../../protocol/index.ts';
import { type JournalHead, type JournalProblem, JournalWriter, type JournalWriterPorts } from '../journal/index.ts';
import { type ListPorts, PortBook } from '../links/index.ts';
import { LiveFeed } from '../serve/index.ts';
import { Store } from '../store/index.ts';
import { type BoardLink, linkTo, shortPath } from './board-links.ts';
import { CloseStack } from './close-stack.ts';
import { ClosedShots } from './closed-shots.ts';
import { type DataFolder, journalPath, journalsIn, newSessionId } from './data-folder.ts';
import { writeHostFile } from './host-file.ts';
import { SessionDesk } from './operator/session-desk.ts';
import { CommandError, messageOf, warn } from './output.ts';
import { PAGES_DIR, servePages } from './pages.ts';
import { openRigFile } from './rig-file.ts';
import { Session } from './session.ts';
import { MonotonicClock, utcNowUs } from './session-clock.ts';
import { SOFTWARE_VERSION } from './version.ts';

/** How often session time is tied to UTC; also what makes time pass while every board is silent. */
const CLOCK_EVERY_MS = 500;

export interface LiveSessionOptions {
  readonly rigFile: string;
  readonly folder: DataFolder;
  readonly port: number;
  readonly onEvent: (event: PipelineEvent) => void;
  /** Where a board that has left its path is looked for; left out: this machine's USB ports. */
  readonly listPorts?: ListPorts;
  /** Another way to make the journal: tests put a failing disk below it. */
  readonly createJournal?: (path: string, head: JournalHead, ports: JournalWriterPorts) => JournalWriter;
}

export interface LiveSession {
  readonly sessionId: string;
  readonly journal: string;
  readonly url: string;
  /** The page for those who may tick, set to zero and acknowledge: a key, to be shown to nobody else. */
  readonly crewUrl: string;
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
  const { rigFile, folder } = options;
  const { text, rig } = await openRigFile(rigFile);
  const store = await Store.open(folder.store, { onProblem: ({ message }) => warn(message) });
  parts.add(() => store.close());
  tellUnfilled(store, folder);
  const feed = new LiveFeed({ mode: 'live' });
  const utcUs = utcNowUs();
  const clock = new MonotonicClock();
  const desk = new SessionDesk(() => clock.nowNs());
  const server = await servePages({ feed, store, desk, port: options.port, pagesDir: PAGES_DIR, nowNs: () => clock.nowNs() });
  parts.add(() => server.close());

  const sessionId = refusing(`The journals folder ${folder.journals} cannot be read`, () => newSessionId(folder, utcUs / 1000));
  const host = { pid: process.pid, url: server.url, sessionId, token: desk.token };
  refusing(`${folder.hostFile} cannot be written`, () => writeHostFile(folder, host));
  parts.add(() => rmSync(folder.hostFile, { force: true }));

  const path = journalPath(folder, sessionId);
  let journalTrouble = '';
  const onProblem = (problem: JournalProblem): void => {
    journalTrouble = problem.message;
    warn(journalSentence(problem));
  };
  const head = { sessionId, originUtcNs: BigInt(utcUs) * 1000n, softwareVersion: SOFTWARE_VERSION };
  const { createJournal = JournalWriter.create } = options;
  const journal = refusing(`The journal ${path} cannot be made`, () => createJournal(path, head, { onProblem }));
  parts.add(() => closeJournal(journal, shortPath(path)));

  const shots = new ClosedShots();
  const links = new Map<string, BoardLink>();
  const session = new Session({
    journal,
    send: (source, message) => links.get(source)?.send?.(message),
    onEvents: (events) => {
      for (const event of events) {
        feed.accept(event);
        shots.take(event);
        options.onEvent(event);
      }
      store.apply(sessionId, events);
    },
  });
  let isOver = false;
  // A link that failed to close may still have something to say; the journal is shut by then.
  const take = (record: PosternRecord): void => {
    if (!isOver) session.take(record);
  };
  desk.open({ take: (record) => (isOver ? undefined : session.take(record)), sync: () => journal.sync(), state: () => session.state });
  const anchor = (): void => take({ kind: 'clock', source: 'host', atNs: clock.nowNs(), value: { utcUs: utcNowUs() } });

  take({ kind: 'clock', source: 'host', atNs: 0, value: { utcUs } });
  const value = { sessionId, softwareVersion: SOFTWARE_VERSION, protocolVersion: WIRE.protocolVersion, fileName: basename(rigFile), text };
  take({ kind: 'rig', source: 'host', atNs: 0, value });
  parts.add(() => {
    anchor();
    isOver = true;
    session.finish();
  });
  const ticking = setInterval(anchor, CLOCK_EVERY_MS);
  parts.add(() => clearInterval(ticking));
  const book = new PortBook(options.listPorts);
  for (const board of rig.boards) {
    const link = linkTo(board, { rig, rigFile }, { clock, book, onRecord: take });
    links.set(board.name, link);
    parts.add(() => link.close());
  }
  return {
    sessionId,
    journal: shortPath(path),
    url: server.url,
    crewUrl: `${server.url}#token=${desk.token}`,
    get shots() {
      return shots.all;
    },
    start: () => {
      for (const link of links.values()) link.start();
    },
    lastWords: () =>
      journalTrouble === ''
        ? 'Stopped at once; the journal holds every record up to now, and is read as after a crash.'
        : `Stopped at once; the disk had not taken all of the journal (${journalTrouble}). postern replay says what it holds.`,
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

function journalSentence({ message, unwrittenBytes, recordsLost }: JournalProblem): string {
  const lost = recordsLost > 0 ? `; ${recordsLost} records are lost` : '';
  if (message === '') return `The journal is being written again${lost}.`;
  return `The journal cannot be written (${message}): ${unwrittenBytes} bytes wait in memory${lost}; edges stay on the board. Make room or mend the disk.`;
}
