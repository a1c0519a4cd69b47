/** One life of the host's process: the real wiring, journal, links, feed and clients, on a simulated disk and ports. */
import { pino } from 'pino';
import { CloseStack } from '../../host/cli/close-stack.ts';
import { freeSessionId } from '../../host/cli/data/data-folder.ts';
import type { SessionPorts } from '../../host/cli/live/session.ts';
import { MonotonicClock, utcNowUs } from '../../host/cli/live/session-clock.ts';
import { type Wiring, wireSession } from '../../host/cli/live/session-wiring.ts';
import { SessionDesk } from '../../host/cli/operator/session-desk.ts';
import { SOFTWARE_VERSION } from '../../host/cli/version.ts';
import { type JournalFile, type JournalProblem, JournalWriter } from '../../host/journal/index.ts';
import { partPath } from '../../host/journal/part-names.ts';
import { PortBook, type PortSystem } from '../../host/links/index.ts';
import type { PipelineState } from '../../host/pipeline/index.ts';
import type { Rig } from '../../host/rig/index.ts';
import { startFlushing } from '../../host/serve/flushing.ts';
import { LiveFeed } from '../../host/serve/index.ts';
import { LiveClients } from '../../host/serve/live-clients.ts';
import type { PipelineEvent, PosternRecord } from '../../protocol/index.ts';
import type { SimulatedDisk } from './disk.ts';
import type { SimulatedPage } from './pages.ts';
import type { SimulatedStore } from './store.ts';

export interface HostSurroundings {
  readonly disk: SimulatedDisk;
  readonly store: SimulatedStore;
  readonly ports: PortSystem;
  readonly rigFile: string;
  readonly rigText: string;
  readonly rig: Rig;
  readonly unwrittenBytesMax: number;
}

const QUIET = pino({ level: 'silent' });
const ENDING = '.mcap';
const WRITE_EVERY_MS = 250;

export class HostLife {
  readonly sessionId: string;
  readonly startedAtS: number;
  /** What was handed to the journal, and not refused. */
  readonly records: PosternRecord[] = [];
  /** Of those, the first so many were said to be safe. */
  recordsSafe = 0;
  /** What left the process. */
  readonly events: PipelineEvent[] = [];
  readonly feed = new LiveFeed({ mode: 'live' });
  readonly clients = new LiveClients(this.feed, QUIET);
  readonly pages: SimulatedPage[] = [];
  readonly store: SimulatedStore;
  /** What the journal's writer said last. */
  problem: JournalProblem | undefined;
  recordsLost = 0;
  unwrittenBytesMost = 0;
  /** How it ended: undefined while it lives. */
  ended: 'killed' | 'power cut' | 'in order' | undefined;
  /** With the last record half written, perhaps. */
  inWrite = false;
  /** Then or later: only what was synced is sure to be on the disk. */
  lostPower = false;
  /** What the journal could not say was safe at the end. */
  closeFailure: unknown;
  readonly #parts = new CloseStack();
  readonly #clock = new MonotonicClock();
  readonly #wiring: Wiring;
  readonly #disk: SimulatedDisk;
  readonly #diskLife: number;

  /** @throws Error where the disk refuses the journal */
  constructor({ disk, store, ports, rigFile, rigText, rig, unwrittenBytesMax }: HostSurroundings, startedAtS: number) {
    this.startedAtS = startedAtS;
    this.store = store;
    this.#disk = disk;
    this.#diskLife = disk.life;
    const utcUs = utcNowUs();
    const clock = this.#clock;
    this.sessionId = freeSessionId(utcUs / 1000, disk.names);
    const head = { sessionId: this.sessionId, originUtcNs: BigInt(utcUs) * 1000n, softwareVersion: SOFTWARE_VERSION };
    const onProblem = (problem: JournalProblem): void => this.#takeProblem(problem);
    const path = `${this.sessionId}${ENDING}`;
    const createPart = (part: number): JournalFile => disk.create(partPath(path, part));
    const journal = JournalWriter.over(createPart(1), head, { onProblem, createPart, unwrittenBytesMax });
    const desk = new SessionDesk(() => clock.nowNs());
    this.#parts.add(() => store.flush());
    const writing = setInterval(() => store.write(), WRITE_EVERY_MS);
    this.#parts.add(() => clearInterval(writing));
    this.#parts.add(startFlushing(this.feed, this.clients, () => clock.nowNs()));
    this.#parts.add(() => journal.close());
    this.#wiring = wireSession(
      { sessionId: this.sessionId, rigFile, text: rigText, rig, utcUs },
      { clock, utcNowUs, journal: this.#watched(journal), desk, book: new PortBook(ports), onEvents: (events) => this.#take(events) },
      this.#parts,
    );
    this.#wiring.start();
  }

  /** Once it is killed, nothing that its code still does counts. */
  get #counts(): boolean {
    return this.ended === undefined && this.#disk.life === this.#diskLife;
  }

  get state(): PipelineState {
    return this.#wiring.session.state;
  }

  get nowNs(): number {
    return this.#clock.nowNs();
  }

  /** Nothing that it still does counts. */
  die(how: 'killed' | 'power cut'): void {
    this.ended ??= how;
  }

  /** As upon the operator's interrupt. */
  async stop(): Promise<void> {
    try {
      await this.#parts.close();
    } catch (error) {
      this.closeFailure = error;
    }
    this.ended ??= 'in order';
  }

  addPage(page: SimulatedPage, resume?: { readonly sessionId: string; readonly since: number }): void {
    this.pages.push(page);
    this.clients.add(page.asSocket, resume, this.nowNs);
  }

  /** Notes what was handed to the journal, and how much of it was said to be safe. */
  #watched(journal: JournalWriter): SessionPorts['journal'] {
    return {
      append: (record) => {
        const wasAlive = this.#counts;
        const isKept = journal.append(record);
        if (wasAlive && isKept) this.records.push(record);
        return isKept;
      },
      sync: async () => {
        const count = this.records.length;
        await journal.sync();
        if (this.#counts) this.recordsSafe = Math.max(this.recordsSafe, count);
      },
    };
  }

  #take(events: readonly PipelineEvent[]): void {
    if (!this.#counts) return;
    for (const event of events) {
      this.feed.accept(event);
      this.events.push(event);
    }
    this.store.apply(this.sessionId, events);
  }

  #takeProblem(problem: JournalProblem): void {
    if (!this.#counts) return;
    this.problem = problem.message === '' ? undefined : problem;
    this.recordsLost = problem.recordsLost;
    this.unwrittenBytesMost = Math.max(this.unwrittenBytesMost, problem.unwrittenBytes);
  }
}
