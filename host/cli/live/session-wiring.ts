/**
 * Boards → journal → pipeline → whoever listens, and the way back to the boards: all of a session that a replay does
 * not have. It knows no file, no server and no store, and takes time, ports and journal from outside, so that the
 * simulation runs this very wiring in virtual time.
 */
import { basename } from 'node:path';
import { type PipelineEvent, type PosternRecord, WIRE } from '../../../protocol/index.ts';
import type { PortBook, SessionClock } from '../../links/index.ts';
import type { Rig } from '../../rig/index.ts';
import type { CloseStack } from '../close-stack.ts';
import type { SessionDesk } from '../operator/session-desk.ts';
import { SOFTWARE_VERSION } from '../version.ts';
import { type BoardLink, linkTo } from './board-links.ts';
import { Session, type SessionPorts } from './session.ts';

/** How often session time is tied to UTC; also what makes time pass while every board is silent. */
const CLOCK_EVERY_MS = 500;

export interface WiringSetup {
  readonly sessionId: string;
  readonly rigFile: string;
  readonly text: string;
  readonly rig: Rig;
  /** UTC at session time 0. */
  readonly utcUs: number;
}

export interface WiringPorts {
  readonly clock: SessionClock;
  readonly utcNowUs: () => number;
  readonly book: PortBook;
  readonly journal: SessionPorts['journal'];
  readonly desk: SessionDesk;
  /** What the pipeline said of one record. */
  readonly onEvents: (events: readonly PipelineEvent[]) => void;
  /** At each anchor: time passes while every board is silent. */
  readonly onTick?: () => void;
}

export interface Wiring {
  /** Opens the links to the boards. */
  start(): void;
  readonly session: Session;
}

/** Writes the session's first records and makes the links. @param parts  gets all that is to be closed again */
export function wireSession(setup: WiringSetup, ports: WiringPorts, parts: CloseStack): Wiring {
  const { sessionId, rigFile, text, rig, utcUs } = setup;
  const { clock, utcNowUs, journal, book, desk, onEvents, onTick = () => undefined } = ports;
  const links = new Map<string, BoardLink>();
  const session = new Session({ journal, send: (source, message) => links.get(source)?.send?.(message), onEvents });
  let isOver = false;
  // A link that failed to close may still have something to say; the journal is shut by then.
  const take = (record: PosternRecord): void => {
    if (!isOver) session.take(record);
  };
  desk.open({ take: (record) => (isOver ? undefined : session.take(record)), sync: () => journal.sync(), state: () => session.state });
  const anchor = (): void => {
    take({ kind: 'clock', source: 'host', atNs: clock.nowNs(), value: { utcUs: utcNowUs() } });
    onTick();
  };

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
  for (const board of rig.boards) {
    const link = linkTo(board, { rig, rigFile }, { clock, book, onRecord: take });
    links.set(board.name, link);
    parts.add(() => link.close());
  }
  return {
    session,
    start: () => {
      for (const link of links.values()) link.start();
    },
  };
}
