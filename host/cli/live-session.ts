/** Wires one live session: boards → journal → pipeline → store and pages. What is opened here is closed here. */
import { rmSync, writeFileSync } from 'node:fs';
import { basename, dirname, isAbsolute, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type PipelineEvent, type PosternRecord, type Shot, WIRE } from '../../protocol/index.ts';
import { type JournalProblem, JournalWriter } from '../journal/index.ts';
import { GateBoardLink } from '../links/index.ts';
import { LiveFeed, startServer } from '../serve/index.ts';
import { Store } from '../store/index.ts';
import { type DataFolder, journalPath, newSessionId } from './data-folder.ts';
import { keepShot } from './keep-shot.ts';
import { CommandError, messageOf, warn } from './output.ts';
import { openRigFile } from './rig-file.ts';
import { Session } from './session.ts';
import { MonotonicClock, utcNowUs } from './session-clock.ts';
import { SOFTWARE_VERSION } from './version.ts';

export const PAGES_DIR = fileURLToPath(new URL('../../dashboards/dist', import.meta.url));
/** How often session time is tied to UTC; also what makes time pass while every board is silent. */
const CLOCK_EVERY_MS = 500;

export interface LiveSessionOptions {
  readonly rigFile: string;
  readonly folder: DataFolder;
  readonly port: number;
  readonly onEvent: (event: PipelineEvent) => void;
}

export interface LiveSession {
  readonly sessionId: string;
  readonly journal: string;
  readonly url: string;
  /** Opens the links to the boards. */
  start(): void;
  /** Closed shots, oldest first. */
  readonly shots: readonly Shot[];
  close(): Promise<void>;
}

/** @throws CommandError with exit code 2 where the rig file does not hold, 1 where a port or the disk refuses */
export async function openLiveSession(options: LiveSessionOptions): Promise<LiveSession> {
  const { rigFile, folder } = options;
  const { text, rig } = await openRigFile(rigFile);
  const store = await Store.open(folder.store, { onProblem: ({ message }) => warn(message) });
  const feed = new LiveFeed({ mode: 'live' });
  const utcUs = utcNowUs();
  const clock = new MonotonicClock();
  const server = await startServer({ feed, store, port: options.port, pagesDir: PAGES_DIR, nowNs: () => clock.nowNs(), onPortTaken }).catch(
    async (error: unknown) => {
      await store.close();
      throw new CommandError(`The page cannot be served: ${messageOf(error)}`);
    },
  );

  const sessionId = newSessionId(folder, utcUs / 1000);
  const path = journalPath(folder, sessionId);
  const head = { sessionId, originUtcNs: BigInt(utcUs) * 1000n, softwareVersion: SOFTWARE_VERSION };
  const journal = JournalWriter.create(path, head, { onProblem: (problem) => warn(journalSentence(problem)) });
  const shots: Shot[] = [];
  const links = new Map<string, GateBoardLink>();
  const session = new Session({
    journal,
    send: (source, message) => links.get(source)?.send(message),
    onEvents: (events) => {
      for (const event of events) {
        feed.accept(event);
        if (event.type === 'shot' && event.phase === 'closed') keepShot(shots, event.shot);
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
  const anchor = (): void => take({ kind: 'clock', source: 'host', atNs: clock.nowNs(), value: { utcUs: utcNowUs() } });

  take({ kind: 'clock', source: 'host', atNs: 0, value: { utcUs } });
  const value = { sessionId, softwareVersion: SOFTWARE_VERSION, protocolVersion: WIRE.protocolVersion, fileName: basename(rigFile), text };
  take({ kind: 'rig', source: 'host', atNs: 0, value });
  const ticking = setInterval(anchor, CLOCK_EVERY_MS);
  for (const board of rig.boards) {
    const setup = { name: board.name, path: shortPath(resolve(dirname(rigFile), board.path)), baudRate: board.baudRate };
    links.set(board.name, new GateBoardLink(setup, { clock, onRecord: take }));
  }
  writeFileSync(folder.hostFile, JSON.stringify({ pid: process.pid, url: server.url, sessionId }));

  let closing: Promise<void> | undefined;
  const close = async (): Promise<void> => {
    clearInterval(ticking);
    await Promise.all([...links.values()].map((link) => link.close()));
    anchor();
    isOver = true;
    session.finish();
    rmSync(folder.hostFile, { force: true });
    // Each part is closed whatever becomes of the others; the first trouble is told.
    const closed = await Promise.allSettled([server.close(), journal.close(), store.close()]);
    const trouble = closed.find((outcome) => outcome.status === 'rejected');
    if (trouble) throw new CommandError(`The session could not be closed properly: ${messageOf(trouble.reason)}`);
  };
  return {
    sessionId,
    journal: shortPath(path),
    url: server.url,
    shots,
    start: () => {
      for (const link of links.values()) link.start();
    },
    close: () => {
      closing ??= close();
      return closing;
    },
  };
}

export const onPortTaken = (port: number): void => warn(`Port ${port} is taken; trying the next.`);

function journalSentence({ message, unwrittenBytes, recordsLost }: JournalProblem): string {
  const lost = recordsLost > 0 ? `; ${recordsLost} records are lost` : '';
  if (message === '') return `The journal is being written again${lost}.`;
  return `The journal cannot be written (${message}): ${unwrittenBytes} bytes wait in memory${lost}; edges stay on the board. Make room or mend the disk.`;
}

/** Below the working folder, without it: shorter on a screen, and no one's home folder in a journal. */
function shortPath(path: string): string {
  const below = relative(process.cwd(), path);
  return below === '' || below.startsWith('..') || isAbsolute(below) ? path : below;
}
