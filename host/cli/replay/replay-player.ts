/**
 * Plays a recorded session into a feed: at a multiple of real time or as fast as it goes, from any moment to any other.
 *
 * A seek begins at the nearest moment that was kept while the journal was read ahead and folds on from there. What lies
 * beyond the reading waits for it. Only one seek is under way at a time: a newer one takes its place.
 */
import { setTimeout as delay, setImmediate as turn } from 'node:timers/promises';
import type { PipelineEvent, ReplaySpeed, ReplayState, SessionNs } from '../../../protocol/index.ts';
import { type JournalItem, readJournal } from '../../journal/index.ts';
import { LiveFeed } from '../../serve/index.ts';
import { type CorrectedRig, type FoldState, foldEnd, foldRecord, NOTHING_FOLDED } from './recorded-fold.ts';
import type { SessionReading } from './session-reading.ts';

/** Work between two turns for whoever else waits: pages are sent to ten times a second. */
const SLICE_MS = 15;
/** Longest sleep, so that time goes on smoothly where no record comes. */
const NAP_MS = 50;

export interface PlayerPorts {
  readonly feed: LiveFeed;
  readonly reading: SessionReading;
  readonly corrected?: CorrectedRig | undefined;
  /** Each event as it is played. A seek plays nothing. */
  readonly onEvent: (event: PipelineEvent) => void;
  readonly onMoved?: (toNs: SessionNs) => void;
}

export interface PlayerStart {
  readonly speed: ReplaySpeed;
  readonly playing: boolean;
}

interface Seek {
  readonly toNs: SessionNs;
  readonly done: () => void;
}

export class ReplayPlayer {
  /** Resolves whenever the end has been played. */
  onEnd: () => void = () => undefined;
  /** Rejects where the journal can no longer be read, or with our own bug. */
  readonly failed: Promise<never>;
  #fail: (error: unknown) => void = () => undefined;
  readonly #ports: PlayerPorts;
  #items: Generator<JournalItem, void, undefined>;
  /** Read and not yet due. */
  #next: JournalItem | undefined;
  #fold: FoldState = NOTHING_FOLDED;
  #isAtEnd = false;
  #playing: boolean;
  #speed: ReplaySpeed;
  /** Where time stood, and when: what is due follows from it. */
  #anchor = { atNs: 0, ms: performance.now() };
  #seek: Seek | undefined;
  #isClosed = false;
  #wake: () => void = () => undefined;
  #told = '';
  #running: Promise<void> = Promise.resolve();

  constructor(ports: PlayerPorts, { speed, playing }: PlayerStart) {
    this.#ports = ports;
    this.#speed = speed;
    this.#playing = playing;
    this.#items = readJournal(ports.reading.path);
    this.failed = new Promise((_, reject) => {
      this.#fail = reject;
    });
    // Whoever awaits it may come later than the failure, or never.
    this.failed.catch(() => undefined);
  }

  get state(): ReplayState {
    const { reading, corrected } = this.#ports;
    return {
      playing: this.#playing && !this.#isAtEnd,
      speed: this.#speed,
      endNs: reading.endNs,
      readToNs: Math.floor(reading.readToNs / 1e9) * 1e9,
      isRead: reading.isWhole,
      ...(this.#seek ? { seekingNs: this.#seek.toNs } : {}),
      shots: reading.shots,
      marks: reading.marks.count,
      ...(reading.marks.leftOut > 0 ? { marksLeftOut: reading.marks.leftOut } : {}),
      ...(corrected ? { correctedRig: corrected.fileName } : {}),
    };
  }

  /** Session time that is shown. */
  get nowNs(): SessionNs {
    const { endNs } = this.#ports.reading;
    if (this.#isAtEnd) return endNs;
    if (!this.#playing || this.#speed === 'max') return Math.max(this.#anchor.atNs, this.#fold.newestNs);
    return Math.min(endNs, this.#dueNs(this.#speed));
  }

  /** Where it stands, or is on its way to: a second step that comes before the first is done goes on from there. */
  get headedNs(): SessionNs {
    return this.#seek?.toNs ?? this.nowNs;
  }

  get isAtEnd(): boolean {
    return this.#isAtEnd;
  }

  start(): void {
    this.#anchorAt(0);
    this.#running = this.#run().catch((error: unknown) => this.#fail(error));
  }

  play(): void {
    // From the end there is nothing to play but all of it again.
    if (this.#isAtEnd) void this.seek(0);
    if (!this.#playing) this.#anchorAt(this.nowNs);
    this.#playing = true;
    this.#changed();
  }

  pause(): void {
    this.#anchorAt(this.nowNs);
    this.#playing = false;
    this.#changed();
  }

  setSpeed(speed: ReplaySpeed): void {
    this.#anchorAt(this.nowNs);
    this.#speed = speed;
    this.#changed();
  }

  /** Resolves when the feed is at that moment, or when a newer seek has taken this one's place. */
  seek(toNs: SessionNs): Promise<void> {
    this.#seek?.done();
    const { endNs } = this.#ports.reading;
    return new Promise((resolve) => {
      this.#seek = { toNs: Math.min(Math.max(0, toNs), endNs), done: resolve };
      this.#changed();
    });
  }

  async close(): Promise<void> {
    this.#isClosed = true;
    this.#wake();
    await this.#running;
    this.#seek?.done();
    this.#items.return();
  }

  async #run(): Promise<void> {
    while (!this.#isClosed) {
      const isReadingOn = this.#ports.reading.readFor(this.#seek ? SLICE_MS : SLICE_MS / 2);
      this.#tellReplay();
      if (this.#seek) await this.#doSeek(this.#seek);
      const waitMs = this.#seek ? 0 : this.#playFor(SLICE_MS);
      if (isReadingOn || waitMs === 0) await turn();
      else await this.#nap(waitMs);
    }
  }

  /** @returns how long nothing will be due, ms */
  #playFor(sliceMs: number): number {
    if (!this.#playing || this.#isAtEnd) return Number.POSITIVE_INFINITY;
    const dueNs = this.#speed === 'max' ? Number.POSITIVE_INFINITY : this.#dueNs(this.#speed);
    const untilMs = performance.now() + sliceMs;
    const { reading } = this.#ports;
    for (let count = 0; ; count += 1) {
      // The reading knows the shots and is what can be gone back to: it is never overtaken.
      if (!reading.isWhole && this.#fold.newestNs >= reading.readToNs) {
        this.#anchorAt(this.#fold.newestNs);
        return 0;
      }
      const atNs = this.#nextNs();
      if (atNs === undefined) return Number.POSITIVE_INFINITY;
      if (atNs > dueNs) return this.#speed === 'max' ? 0 : Math.min(NAP_MS, (atNs - dueNs) / 1e6 / this.#speed);
      if (count % 16 === 15 && performance.now() >= untilMs) {
        // Faster than this machine goes: time waits for the records, and does not run after them later.
        this.#anchorAt(this.#fold.newestNs);
        return 0;
      }
      this.#takeNext(this.#ports.feed, this.#ports.onEvent);
    }
  }

  async #doSeek(seek: Seek): Promise<void> {
    const { reading, feed } = this.#ports;
    // The end's own events, a shot closed by it among them, belong to it.
    const isToEnd = seek.toNs >= reading.endNs;
    if (!reading.isWhole && (isToEnd || reading.readToNs < seek.toNs)) return;
    const from = reading.checkpoints.before(seek.toNs);
    const scratch = new LiveFeed({ mode: 'replay' });
    if (!from) return this.#moved(seek);
    scratch.goTo(from.feed, reading.archive);
    this.#items.return();
    this.#items = readJournal(reading.path, from.place);
    this.#next = undefined;
    this.#fold = from.fold;
    this.#isAtEnd = false;
    for (let untilMs = performance.now() + SLICE_MS; ; ) {
      const atNs = this.#nextNs(scratch);
      if (atNs === undefined || atNs > seek.toNs) break;
      this.#takeNext(scratch);
      if (performance.now() < untilMs) continue;
      await turn();
      if (this.#isClosed || this.#seek !== seek) return;
      untilMs = performance.now() + SLICE_MS;
    }
    feed.become(scratch);
    this.#moved(seek);
  }

  #moved(seek: Seek): void {
    this.#seek = undefined;
    this.#anchorAt(seek.toNs);
    this.#ports.onMoved?.(seek.toNs);
    this.#tellReplay();
    seek.done();
  }

  /** @returns undefined once the end has been played, into that feed */
  #nextNs(feed = this.#ports.feed): SessionNs | undefined {
    while (!this.#isAtEnd) {
      this.#next ??= this.#items.next().value ?? undefined;
      if (!this.#next) {
        this.#isAtEnd = true;
        this.#give(foldEnd(this.#fold), feed, feed === this.#ports.feed ? this.#ports.onEvent : undefined);
        this.#tellReplay();
        this.onEnd();
        return undefined;
      }
      if ('record' in this.#next) return this.#next.record.atNs;
      // Told by the reading ahead.
      this.#next = undefined;
    }
    return undefined;
  }

  #takeNext(feed: LiveFeed, onEvent?: (event: PipelineEvent) => void): void {
    const item = this.#next;
    this.#next = undefined;
    if (item && 'record' in item) this.#give(foldRecord(this.#fold, item.record, this.#ports.corrected), feed, onEvent);
  }

  #give([fold, events]: readonly [FoldState, readonly PipelineEvent[]], feed: LiveFeed, onEvent?: (event: PipelineEvent) => void): void {
    this.#fold = fold;
    for (const event of events) {
      feed.accept(event);
      onEvent?.(event);
    }
  }

  #dueNs(speed: number): SessionNs {
    return this.#anchor.atNs + (performance.now() - this.#anchor.ms) * 1e6 * speed;
  }

  #anchorAt(atNs: SessionNs): void {
    this.#anchor = { atNs, ms: performance.now() };
  }

  #changed(): void {
    this.#tellReplay();
    this.#wake();
  }

  #tellReplay(): void {
    const { state } = this;
    const text = JSON.stringify(state);
    if (text === this.#told) return;
    this.#told = text;
    this.#ports.feed.tellReplay(state);
  }

  async #nap(waitMs: number): Promise<void> {
    const woken = new AbortController();
    this.#wake = () => woken.abort();
    // A pause has no end of its own.
    await delay(Math.min(waitMs, 0x7fff_ffff), undefined, { signal: woken.signal }).catch(() => undefined);
    this.#wake = () => undefined;
  }
}
