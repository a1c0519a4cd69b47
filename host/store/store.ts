/**
 * The embedded store: shots, samples, summaries and events of all sessions, in one DuckDB file that any
 * SQL tool reads once the host has let go of it.
 *
 * Goals: the caller is never blocked, memory is bounded, a fault of the disk is told and not hidden.
 * Non-goal: durability. The journals are the truth; whatever is lost here, `postern rebuild` brings back.
 */
import type { DragShot, MapSource, PipelineEvent, Shot, ShotTableRow, StoredAct } from '../../protocol/index.ts';
import { type Database, openDatabase } from './database.ts';
import { readDragShots } from './drag-shots.ts';
import { Intake } from './enqueue.ts';
import { type ExportQuery, exportSql, literal } from './export/export-query.ts';
import {
  type ExportedEvent,
  type ExportedSample,
  exportEvents,
  exportSamples,
  type StoredChannel,
  storedChannels,
} from './export/export-rows.ts';
import type { Keep } from './keeps.ts';
import { readMapShots } from './map-shots.ts';
import { firstLine, isDamage, StoreDamagedError, type StoreProblem } from './problems.ts';
import {
  type ChannelQuery,
  type ChannelSecond,
  readChannelSeconds,
  readSessions,
  readShot,
  readShots,
  type ShotQuery,
  type StoredSession,
} from './queries.ts';
import { readSpan, type Span, type SpanQuery } from './samples/read-span.ts';
import { readLaterActs, readShotActs } from './shot-acts.ts';
import { readShotTable } from './shot-table.ts';
import { carryOutThinning, planThinning, type ThinningPlan } from './thinning.ts';
import { deleteSession, writeBatch } from './write.ts';
import { type Batch, createWriteQueue, type Dropped, type WriteQueue } from './write-queue.ts';

const WRITE_EVERY_MS = 250;
const RETRY_MS_MAX = 30_000;
/** Hours of events. */
const QUEUE_ROWS_MAX = 10_000;
/** Eight channels at 1 kHz for four minutes. */
const QUEUE_SAMPLES_MAX = 2_000_000;

export interface StoreOptions {
  /** Told of what goes wrong while nobody awaits. Default: a process warning. */
  readonly onProblem?: (problem: StoreProblem) => void;
  /** true: set aside whatever is there and begin anew, as a rebuild does. */
  readonly fresh?: boolean;
  /** Rows that may wait, shots and samples not counted; default 10 000. */
  readonly queueRowsMax?: number;
  /** Samples that may wait; default 2 000 000. */
  readonly queueSamplesMax?: number;
}

export class Store {
  /** `existing`, or why there may be less in it than the journals hold. */
  readonly found: Database['found'];
  readonly #database: Database;
  readonly #queue: WriteQueue;
  readonly #intake: Intake;
  readonly #onProblem: (problem: StoreProblem) => void;
  /** Writes happen one after another; this is the last of them, and never rejects. */
  #last: Promise<void> = Promise.resolve();
  #timer: NodeJS.Timeout | undefined;
  #waitMs = WRITE_EVERY_MS;
  #droppedReported = 0;
  /** Sessions to be deleted before anything more is written. */
  readonly #toDelete = new Set<string>();
  readonly #reads = new Set<Promise<unknown>>();
  #closing: Promise<void> | undefined;

  private constructor(database: Database, options: StoreOptions) {
    this.#database = database;
    this.found = database.found;
    const { queueRowsMax = QUEUE_ROWS_MAX, queueSamplesMax = QUEUE_SAMPLES_MAX } = options;
    this.#queue = createWriteQueue({ rowsMax: queueRowsMax, samplesMax: queueSamplesMax });
    this.#intake = new Intake(this.#queue);
    this.#onProblem = options.onProblem ?? (({ message }) => process.emitWarning(message, 'StoreWarning'));
    if (database.notice !== '') this.#onProblem({ code: 'set-aside', message: database.notice });
  }

  /**
   * Opens the store, or makes it. A damaged file, or one of another schema, is set aside with a problem `set-aside`.
   * @throws StoreLockedError where another process has it open
   * @throws StoreUnusableError where the folder or the disk does not allow it
   */
  static async open(path: string, options: StoreOptions = {}): Promise<Store> {
    return new Store(await openDatabase(path, options.fresh ?? false), options);
  }

  /** Rows waiting to be written. */
  get rowsWaiting(): number {
    return this.#queue.rowsWaiting;
  }

  /** Samples waiting to be written; of each channel up to ten seconds more are being gathered. */
  get samplesWaiting(): number {
    return this.#queue.samplesWaiting;
  }

  /** Rows dropped since opening, because the queue was full. */
  get dropped(): Dropped {
    return this.#queue.dropped;
  }

  /**
   * Queues what is to be kept of these events; returns at once.
   * @throws Error after close (caller's bug)
   */
  apply(sessionId: string, events: readonly PipelineEvent[]): void {
    if (this.#closing !== undefined) throw new Error('the store is closed');
    this.#intake.take(sessionId, events);
    this.#reportDropped();
    if (this.#queue.rowsWaiting > 0) this.#arm();
  }

  /** Writes all that was applied before, the samples that are being gathered too; rejects where it cannot, and goes on trying later. */
  flush(): Promise<void> {
    this.#intake.flush();
    return this.#write();
  }

  /** Writes all that was applied before, but not the samples that are still being gathered: for whoever applies faster than the disk writes. */
  written(): Promise<void> {
    return this.#write();
  }

  /** Forgets all of a session, waiting or stored; what is applied after this call is kept. */
  replaceSession(sessionId: string): Promise<void> {
    this.#intake.forget(sessionId);
    this.#queue.removeSession(sessionId);
    this.#toDelete.add(sessionId);
    return this.#write();
  }

  /**
   * Newest first; sees every shot applied before.
   * @throws RangeError for a limit outside 1 to 10 000 or a time that is none
   * @throws StoreDamagedError where the file turns out to be damaged
   */
  shots(query: ShotQuery = {}): Promise<readonly Shot[]> {
    return this.#read(() => readShots(this.#database.reader, query));
  }

  shot(id: string): Promise<Shot | undefined> {
    return this.#read(() => readShot(this.#database.reader, id));
  }

  /** Newest first, with what a drag curve is made of. @throws as `shots` does */
  dragShots(query: Omit<ShotQuery, 'traces'> = {}): Promise<readonly DragShot[]> {
    return this.#read(() => readDragShots(this.#database.reader, query));
  }

  /** Newest first, with what a map is made of. @throws as `shots` does */
  mapShots(query: Omit<ShotQuery, 'traces'> = {}): Promise<readonly MapSource[]> {
    return this.#read(() => readMapShots(this.#database.reader, query));
  }

  /** All shots, newest first, each as one flat row; at most 20 000. */
  shotTable(): Promise<readonly ShotTableRow[]> {
    return this.#read(() => readShotTable(this.#database.reader));
  }

  /** What was done to a shot, by any session, and before it to its own session's gauges; oldest first. */
  shotActs(id: string): Promise<readonly StoredAct[]> {
    return this.#read(() => readShotActs(this.#database.reader, id));
  }

  /** What later sessions did to the shots of this one, oldest first; the newest 500. */
  laterActs(sessionId: string): Promise<readonly StoredAct[]> {
    return this.#read(() => readLaterActs(this.#database.reader, sessionId));
  }

  /** Newest first. */
  sessions(): Promise<readonly StoredSession[]> {
    return this.#read(() => readSessions(this.#database.reader));
  }

  /** In the order of time; the newest ten seconds only after a flush. At most two days. */
  channelSeconds(query: ChannelQuery): Promise<readonly ChannelSecond[]> {
    return this.#read(() => readChannelSeconds(this.#database.reader, query));
  }

  /**
   * Samples of a span as they fit a screen; the newest ten seconds may be missing, the live page has them.
   * @throws RangeError for a span, a number of points or of channels that is none
   */
  span(query: SpanQuery): Promise<Span> {
    return this.#read(() => readSpan(this.#database.reader, query));
  }

  /** Which channels have samples, by session. */
  channels(): Promise<readonly StoredChannel[]> {
    return this.#read(() => storedChannels(this.#database.reader));
  }

  /** In the order of time, some thousands at once; to be ended before the store is closed. */
  exportSamples(query: Omit<ExportQuery, 'what'>): AsyncIterable<readonly ExportedSample[]> {
    return exportSamples(this.#database.reader, query);
  }

  /** As `exportSamples`. */
  exportEvents(query: Omit<ExportQuery, 'what'>): AsyncIterable<readonly ExportedEvent[]> {
    return exportEvents(this.#database.reader, query);
  }

  /**
   * Straight from the database to a Parquet file. Rows of one channel and ten seconds stand together.
   * @param file  is made, or written over
   */
  exportParquet(query: ExportQuery, file: string): Promise<number> {
    return this.#read(async () => {
      const sql = `COPY (${exportSql(query)}) TO ${literal(file)} (FORMAT parquet, COMPRESSION snappy)`;
      const done = await this.#database.reader.runAndReadAll(sql);
      return Number(done.getRowsJS()[0]?.[0] ?? 0);
    });
  }

  /** @param beforeUtc  ISO 8601: of sessions that were opened before */
  planThinning(beforeUtc: string, keep: Keep): Promise<ThinningPlan> {
    return this.#read(() => planThinning(this.#database.reader, beforeUtc, keep));
  }

  /** @throws (rejects) where the disk refuses; then nothing of it was done */
  thin(plan: ThinningPlan): Promise<void> {
    return this.#inTurn(() => carryOutThinning(this.#database.writer, plan));
  }

  /** Writes what waits and lets go of the file. What cannot be written is told as a problem `not-stored`. */
  close(): Promise<void> {
    this.#closing ??= this.#close();
    return this.#closing;
  }

  async #close(): Promise<void> {
    clearTimeout(this.#timer);
    try {
      this.#intake.flush();
      await this.#write();
    } catch (cause) {
      const message = `${this.rowsWaiting} rows could not be stored (${firstLine(cause)}): run "postern rebuild" to get them from the journals.`;
      this.#onProblem({ code: 'not-stored', message, cause });
    } finally {
      await Promise.allSettled([this.#last, ...this.#reads]);
      this.#database.close();
    }
  }

  async #read<T>(read: () => Promise<T>): Promise<T> {
    if (this.#closing !== undefined) throw new Error('the store is closed');
    const reading = this.#writeThenRead(read);
    this.#reads.add(reading);
    try {
      return await reading;
    } finally {
      this.#reads.delete(reading);
    }
  }

  async #writeThenRead<T>(read: () => Promise<T>): Promise<T> {
    // A write that fails must not hide what is stored already.
    await this.#write().catch((cause) => this.#writeFailed(cause));
    try {
      return await read();
    } catch (cause) {
      throw isDamage(cause) ? new StoreDamagedError(this.#database.path, cause) : cause;
    }
  }

  #arm(): void {
    if (this.#timer !== undefined || this.#closing !== undefined) return;
    this.#timer = setTimeout(() => {
      this.#timer = undefined;
      this.#write().then(
        () => {
          this.#waitMs = WRITE_EVERY_MS;
        },
        (cause) => this.#writeFailed(cause),
      );
    }, this.#waitMs);
    this.#timer.unref();
  }

  #writeFailed(cause: unknown): void {
    const message = `Could not write to the store ${this.#database.path} (${firstLine(cause)}); ${this.rowsWaiting} rows wait. Recording goes on; check free space.`;
    this.#onProblem({ code: 'write-failed', message, cause });
    this.#waitMs = Math.min(RETRY_MS_MAX, this.#waitMs * 2);
    this.#arm();
  }

  #write(): Promise<void> {
    return this.#inTurn(async () => {
      for (;;) {
        await this.#deleteReplaced();
        const batch = this.#queue.take();
        if (batch === undefined) return;
        await this.#writeOne(batch);
      }
    });
  }

  async #deleteReplaced(): Promise<void> {
    for (const session of this.#toDelete) {
      this.#toDelete.delete(session);
      try {
        await deleteSession(this.#database.writer, session);
      } catch (cause) {
        this.#toDelete.add(session);
        throw cause;
      }
    }
  }

  async #writeOne(batch: Batch): Promise<void> {
    try {
      await writeBatch(this.#database.writer, batch, this.#database.blocks);
    } catch (cause) {
      this.#queue.putBack(batch, this.#toDelete);
      this.#reportDropped();
      throw cause;
    }
  }

  #inTurn(work: () => Promise<void>): Promise<void> {
    const turn = this.#last.then(work);
    this.#last = turn.catch(() => undefined);
    return turn;
  }

  /** Once at the first row dropped, then each time their number has doubled: news, not noise. */
  #reportDropped(): void {
    const { samples, events, sessions } = this.#queue.dropped;
    const total = samples + events + sessions;
    if (total === 0 || total < 2 * this.#droppedReported) return;
    this.#droppedReported = total;
    const message = `The store cannot keep up: ${total} rows dropped so far (${samples} samples, ${events} events, ${sessions} sessions), no shots. "postern rebuild" brings them back.`;
    this.#onProblem({ code: 'rows-dropped', message });
  }
}
