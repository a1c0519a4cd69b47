/**
 * A session's journal as batches of lines: read, folded through the pipeline, written as lines. A place in it holds the
 * state of the fold, so that going back costs no more than reading what is to be sent again.
 */
import { statSync } from 'node:fs';
import type { PosternRecord, SessionNs } from '../../../protocol/index.ts';
import { type JournalPlace, partsOf, readJournal } from '../../journal/index.ts';
import { finish, INITIAL_STATE, type PipelineState, step } from '../../pipeline/index.ts';
import { BATCH_BYTES_MAX, BATCH_LINES_MAX, type Batch, type Source } from '../../series/index.ts';
import { type LineDialect, originOf, SessionLines } from '../../series/lines/index.ts';

export interface SourcePlace {
  /** Number of the next record. */
  readonly sequence: number;
  /** Of the record before it; undefined before the first. */
  readonly journal: JournalPlace | undefined;
  readonly state: PipelineState;
  readonly lines: SessionLines | undefined;
  readonly newestNs: SessionNs;
  /** The session's end has been told. */
  readonly isEnded: boolean;
}

export const FIRST_PLACE: SourcePlace = {
  sequence: 0,
  journal: undefined,
  state: INITIAL_STATE,
  lines: undefined,
  newestNs: 0,
  isEnded: false,
};

export interface JournalSourceOptions {
  readonly path: string;
  readonly dialect: LineDialect;
  readonly tags: Readonly<Record<string, string>>;
  /** Records before this number were sent before; they are folded and nothing is made of them. */
  readonly sendFrom: number;
  /** Nothing more will be written to it. */
  readonly isOver: () => boolean;
  readonly nowMs: () => number;
}

/** So long it works at a stretch. */
const SLICE_MS = 25;
/** A journal that grows is sent as often. */
const BATCH_EVERY_MS = 250;
const RECORDS_A_LOOK = 64;

export class JournalSource implements Source<SourcePlace> {
  readonly #options: JournalSourceOptions;
  #at: SourcePlace = FIRST_PLACE;
  /** From `#at` on, while it has more. */
  #items: ReturnType<typeof readJournal> | undefined;
  #readBytes = -1;
  /** Made and not given out yet. */
  #lines: string[] = [];
  #bytes = 0;
  #isPastSendFrom = false;
  #lastBatchAtMs = Number.NEGATIVE_INFINITY;

  constructor(options: JournalSourceOptions) {
    this.#options = options;
  }

  /** Up to here it has been read. */
  get at(): SourcePlace {
    return this.#at;
  }

  returnTo(place: SourcePlace): void {
    this.#items?.return();
    this.#items = undefined;
    this.#readBytes = -1;
    // What it holds is changed from here on, and the place may be returned to again.
    this.#at = { ...place, lines: place.lines?.copy() };
    this.#lines = [];
    this.#bytes = 0;
  }

  next(): Batch<SourcePlace> | 'busy' | 'idle' | 'end' {
    const { nowMs, isOver } = this.#options;
    const untilMs = nowMs() + SLICE_MS;
    // Asked before the reading: what was written before it was over is then surely read.
    const over = isOver();
    while (nowMs() < untilMs) {
      for (let i = 0; i < RECORDS_A_LOOK; i++) {
        if (this.#isFull() || this.#isAtSendFrom()) return this.#batch();
        if (this.#readOne()) continue;
        if (over && !this.#at.isEnded) this.#end();
        if (this.#lines.length > 0 && (over || nowMs() - this.#lastBatchAtMs >= BATCH_EVERY_MS)) return this.#batch();
        return over && this.#lines.length === 0 ? 'end' : 'idle';
      }
    }
    return 'busy';
  }

  #isFull(): boolean {
    return this.#lines.length >= BATCH_LINES_MAX || this.#bytes >= BATCH_BYTES_MAX / 2;
  }

  /** What was sent before is behind: an empty batch makes a place of it that can be returned to. */
  #isAtSendFrom(): boolean {
    const { sendFrom } = this.#options;
    if (this.#isPastSendFrom || sendFrom === 0 || this.#at.sequence < sendFrom) return false;
    this.#isPastSendFrom = true;
    return true;
  }

  /** @returns false where there is nothing more for now */
  #readOne(): boolean {
    // What was opened may have grown since; only where nothing has is this all.
    for (this.#items ??= this.#open(); this.#items; this.#items = this.#open()) {
      for (let next = this.#items.next(); !next.done; next = this.#items.next()) {
        const item = next.value;
        if ('damage' in item) continue;
        const place = item.place();
        // Reading from a place gives its record again.
        if (place.sequence < this.#at.sequence) continue;
        this.#take(item.record, place);
        return true;
      }
    }
    return false;
  }

  /** @returns undefined where the files are as they were when all of them had been read */
  #open(): ReturnType<typeof readJournal> | undefined {
    const { path } = this.#options;
    const bytes = partsOf(path).reduce((sum, part) => sum + (statSync(part, { throwIfNoEntry: false })?.size ?? 0), 0);
    if (bytes === this.#readBytes) return undefined;
    this.#readBytes = bytes;
    return readJournal(path, this.#at.journal);
  }

  #take(record: PosternRecord, journal: JournalPlace): void {
    const { dialect, tags } = this.#options;
    const before = this.#at;
    const [state, events] = step(before.state, record);
    let { lines } = before;
    if (lines === undefined && record.kind === 'clock') {
      // The session's first anchor, which a live session writes before all else.
      lines = new SessionLines({
        origin: originOf(BigInt(Math.round(record.value.utcUs)) * 1000n - BigInt(Math.round(record.atNs))),
        dialect,
        extra: tags,
      });
    }
    this.#at = {
      ...before,
      sequence: journal.sequence + 1,
      journal,
      state,
      lines,
      newestNs: Math.max(before.newestNs, record.atNs),
    };
    if (!lines) return;
    const made = events.length > 0 ? lines.take(events) : NONE;
    this.#keep(made);
    if (record.kind === 'clock') this.#keep(lines.tick(record.atNs));
  }

  #end(): void {
    const { state, lines, newestNs } = this.#at;
    const [ended, events] = finish(state, newestNs);
    this.#at = { ...this.#at, state: ended, isEnded: true };
    if (!lines) return;
    this.#keep(lines.take(events));
    this.#keep(lines.end(newestNs));
  }

  #keep(made: readonly string[]): void {
    // The end has no number of its own: it is sent as often as somebody comes to it.
    if (this.#at.sequence <= this.#options.sendFrom && !this.#at.isEnded) return;
    for (const line of made) {
      this.#lines.push(line);
      this.#bytes += line.length;
    }
  }

  #batch(): Batch<SourcePlace> {
    const lines = this.#lines;
    this.#lines = [];
    this.#bytes = 0;
    this.#lastBatchAtMs = this.#options.nowMs();
    return { lines, after: { ...this.#at, lines: this.#at.lines?.copy() } };
  }
}

const NONE: readonly string[] = [];
