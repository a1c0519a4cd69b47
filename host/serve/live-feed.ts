/**
 * What pages are shown: the pipeline's events folded into a present state, numbered events to resume from, and
 * envelopes of the samples. No timer, no socket: the server says when to flush, and sends what comes out.
 */
import type {
  EnvelopeMessage,
  EventMessage,
  LiveBoard,
  LiveEvent,
  LiveMessage,
  PipelineEvent,
  RecordingMessage,
  RecordingState,
  ReplayMessage,
  ReplayState,
  SessionEvent,
  SessionNs,
  Shot,
  ShotEvent,
  SnapshotMessage,
} from '../../protocol/index.ts';
import type { EnvelopeArchive } from './envelope-archive.ts';
import { EnvelopeHistory, type NewestBin } from './envelope-history.ts';
import { EventRing } from './event-ring.ts';
import type { FeedMoment } from './feed-moment.ts';
import { PendingEvents } from './pending-events.ts';
import { NOTHING_PRESENT, presentOf, withEvent } from './present-state.ts';
import { type RecentShots, withCamera, withExclusion, withoutTraces, withShot } from './recent-shots.ts';

export interface LiveFeedOptions {
  readonly mode: 'live' | 'replay';
}

/** What a page is told at once; all else waits for the next flush. */
const URGENT: ReadonlySet<LiveEvent['type']> = new Set([
  'shot',
  'limit',
  'health',
  'link',
  'hold-points',
  'blow-down',
  'adjusted',
  'act-refused',
  'impacts',
  'shot-camera',
  'note',
  'rig-rejected',
]);

/** More boards than any rig has: events of a further source are numbered and sent, but not kept as state. */
const BOARDS_KEPT = 64;

export class LiveFeed {
  readonly mode: 'live' | 'replay';
  #session: SessionEvent | undefined;
  #boards: Readonly<Record<string, LiveBoard>> = {};
  #shots: RecentShots = [];
  /** Of each of them, by its id. */
  #phases: ReadonlyMap<string, ShotEvent['phase']> = new Map();
  #present = NOTHING_PRESENT;
  #newestNs: SessionNs = 0;
  #afresh = false;
  /** For all pages that come back before the next flush, which brings what has changed since. */
  #resumeHistory: EnvelopeMessage | undefined;
  #recording: RecordingState | undefined;
  #isRecordingUntold = false;
  /** Called when something was accepted that no page should wait for: a shot, an alarm, what the crew did. */
  onUrgent: () => void = () => undefined;
  /** Of the snapshot, until the next flush, which brings what has changed since. */
  #snapshotText: Buffer | undefined;
  readonly #ring = new EventRing();
  readonly #pending = new PendingEvents();
  #channels = new Map<string, EnvelopeHistory>();
  #replay: ReplayState | undefined;
  #replayUntold = false;

  constructor(options: LiveFeedOptions) {
    this.mode = options.mode;
  }

  /** Time of the newest event, ns of the session. */
  get newestNs(): SessionNs {
    return this.#newestNs;
  }

  /** Undefined until a session has begun. */
  get sessionId(): string | undefined {
    return this.#session?.sessionId;
  }

  /** The last shots with all they hold, newest first, at most 20. */
  get shots(): readonly Shot[] {
    return this.#shots;
  }

  /** All that is needed to come back to this moment, beside an archive of the envelopes. */
  moment(): FeedMoment {
    const newestBins = new Map<string, NewestBin>();
    for (const [name, history] of this.#channels) if (history.newest) newestBins.set(name, history.newest);
    return {
      session: this.#session,
      boards: this.#boards,
      shots: this.#shots,
      phases: this.#phases,
      present: this.#present,
      newestNs: this.#newestNs,
      newestBins,
    };
  }

  /** Goes to a moment of the same recorded session, earlier or later; every page gets a whole snapshot at the next flush. */
  goTo(moment: FeedMoment, archive: EnvelopeArchive): void {
    this.#set(moment, new Map([...moment.newestBins].map(([name, newest]) => [name, archive.historyAt(name, newest)])));
  }

  /** Becomes what that feed is, which is not to be used any more. */
  become(other: LiveFeed): void {
    this.#set(other.moment(), other.#channels);
  }

  /** Goes to the pages with the next flush. */
  tellReplay(state: ReplayState): void {
    this.#replay = state;
    this.#replayUntold = true;
    this.#snapshotText = undefined;
  }

  accept(event: PipelineEvent): void {
    if (event.type === 'session' && this.#session && event.sessionId !== this.#session.sessionId) this.#startAfresh();
    this.#newestNs = Math.max(this.#newestNs, event.atNs);
    switch (event.type) {
      case 'samples':
        // Burst samples are in the shot; a trace that scrolls has no room for them.
        if (event.stream === 'slow') this.#channelOf(event.channel).add(event);
        return;
      case 'request':
        return;
      case 'session':
        this.#session = event;
        this.#present = withEvent(this.#present, event);
        break;
      case 'shot':
        this.#keepShot(event);
        break;
      case 'shot-excluded':
        this.#shots = withExclusion(this.#shots, event);
        break;
      case 'shot-camera':
        this.#shots = withCamera(this.#shots, event);
        break;
      case 'camera-act':
      case 'track-withdrawn':
        // What comes of it is told behind it.
        return;
      case 'link':
      case 'board':
      case 'wire':
      case 'clock':
      case 'inputs':
      case 'text-lines':
        this.#keepBoardState(event);
        break;
      default:
        this.#present = withEvent(this.#present, event);
    }
    this.#pending.add(event);
    if (URGENT.has(event.type)) this.onUrgent();
  }

  /** How the journal is doing: pages are told at once where that begins, changes or ends, and else with the next flush. */
  tellRecording(state: RecordingState): void {
    const before = this.#recording;
    this.#recording = state;
    this.#isRecordingUntold = true;
    if (state.problem !== (before?.problem ?? '') || (state.lost === undefined) !== (before?.lost === undefined)) this.onUrgent();
  }

  /** The events since the last flush, and no envelopes; nothing where pages must be sent a whole snapshot at the next flush. */
  flushEvents(nowNs: SessionNs): readonly (EventMessage | RecordingMessage)[] {
    this.#snapshotText = undefined;
    if (this.#afresh || this.#pending.isOverrun) return [];
    const events = this.#pending.take().events.map((event): EventMessage => ({ type: 'event', nowNs, ...this.#ring.push(event) }));
    return [...this.#takeRecording(nowNs), ...events];
  }

  #takeRecording(nowNs: SessionNs): readonly RecordingMessage[] {
    if (!this.#isRecordingUntold || !this.#recording) return [];
    this.#isRecordingUntold = false;
    return [{ type: 'recording', nowNs, recording: this.#recording }];
  }

  /**
   * What every connected page gets now: the events since the last flush and the changed envelopes, or a whole
   * snapshot where events were more than can be kept. The envelope message comes even when empty: it says that the
   * host lives, and what its time is.
   * @param nowNs  session time now
   */
  flush(nowNs: SessionNs): readonly LiveMessage[] {
    this.#snapshotText = undefined;
    const { events, overrun } = this.#pending.take();
    const numbered = events.map((event): EventMessage => ({ type: 'event', nowNs, ...this.#ring.push(event) }));
    const messages = [...this.#takeRecording(nowNs), ...numbered];
    const envelope = this.#changedEnvelopes(nowNs);
    this.#resumeHistory = undefined;
    const afresh = this.#afresh;
    this.#afresh = false;
    const replay = this.#replayUntold ? this.#replayMessages(nowNs) : [];
    this.#replayUntold = false;
    if (!overrun && !afresh) return [...messages, ...replay, envelope];
    // Who resumes from before the gap must not be handed a row of events with a hole in it.
    this.#ring.clear();
    const snapshot = this.snapshot(nowNs);
    return snapshot ? [snapshot] : [...replay, envelope];
  }

  /** @returns undefined until a session has begun */
  snapshot(nowNs: SessionNs): SnapshotMessage | undefined {
    const session = this.#session;
    if (!session) return undefined;
    const newestShotPhase = this.#phases.get(this.#shots[0]?.id ?? '');
    return {
      type: 'snapshot',
      seq: this.#ring.seq,
      mode: this.mode,
      sessionId: session.sessionId,
      rig: session.rig,
      nowNs,
      originUtcMs: Date.parse(session.openedAt),
      boards: this.#boards,
      ...presentOf(this.#present),
      history: this.#history(),
      shots: this.#shots.map((shot, index) => (index === 0 ? shot : withoutTraces(shot))),
      ...(newestShotPhase ? { newestShotPhase } : {}),
      ...(this.#replay ? { replay: this.#replay } : {}),
      ...(this.#recording ? { recording: this.#recording } : {}),
    };
  }

  /**
   * The snapshot in UTF-8, made once between two flushes however many ask: ten minutes of every channel are some
   * megabytes, and whoever asks again and again must not keep the host from measuring.
   * @returns undefined until a session has begun
   */
  snapshotText(nowNs: SessionNs): Buffer | undefined {
    if (!this.#snapshotText) {
      const snapshot = this.snapshot(nowNs);
      this.#snapshotText = snapshot && Buffer.from(JSON.stringify(snapshot), 'utf8');
    }
    return this.#snapshotText;
  }

  /**
   * What a page missed that had everything up to number `since`: exactly those events, and the envelopes.
   * @returns undefined where they are no longer kept or it was another session: it needs a snapshot
   */
  resume(sessionId: string, since: number, nowNs: SessionNs): readonly LiveMessage[] | undefined {
    if (sessionId !== this.#session?.sessionId) return undefined;
    const missed = this.#ring.since(since);
    if (!missed) return undefined;
    this.#resumeHistory ??= { type: 'envelope', nowNs, envelopes: this.#history() };
    return [
      // It has no number, so nobody knows whether the page had it.
      ...(this.#recording ? [{ type: 'recording', nowNs, recording: this.#recording } as const] : []),
      ...missed.map((numbered): EventMessage => ({ type: 'event', nowNs, ...numbered })),
      ...this.#replayMessages(nowNs),
      this.#resumeHistory,
    ];
  }

  /** For a page that was thinned: what its traces lack since that time. */
  envelopesSince(fromNs: SessionNs, nowNs: SessionNs): EnvelopeMessage {
    const envelopes = [...this.#channels.values()].flatMap((channel) => channel.since(fromNs) ?? []);
    return { type: 'envelope', nowNs, envelopes };
  }

  #set(moment: FeedMoment, channels: Map<string, EnvelopeHistory>): void {
    this.#session = moment.session;
    this.#boards = moment.boards;
    this.#shots = moment.shots;
    this.#phases = moment.phases;
    this.#present = moment.present;
    this.#newestNs = moment.newestNs;
    this.#channels = channels;
    this.#pending.take();
    this.#snapshotText = undefined;
    this.#resumeHistory = undefined;
    this.#afresh = true;
  }

  #replayMessages(nowNs: SessionNs): readonly ReplayMessage[] {
    return this.#replay ? [{ type: 'replay', nowNs, replay: this.#replay }] : [];
  }

  #history() {
    return [...this.#channels.values()].flatMap((channel) => channel.history());
  }

  #changedEnvelopes(nowNs: SessionNs): EnvelopeMessage {
    return { type: 'envelope', nowNs, envelopes: [...this.#channels.values()].flatMap((channel) => channel.takeChanged() ?? []) };
  }

  #channelOf(name: string): EnvelopeHistory {
    const known = this.#channels.get(name);
    if (known) return known;
    const made = new EnvelopeHistory(name);
    this.#channels.set(name, made);
    return made;
  }

  #keepShot({ shot, phase }: ShotEvent): void {
    this.#shots = withShot(this.#shots, shot);
    const phases = new Map(this.#phases).set(shot.id, phase);
    this.#phases = new Map(this.#shots.flatMap(({ id }) => (phases.has(id) ? [[id, phases.get(id) ?? phase]] : [])));
  }

  #keepBoardState(event: Extract<LiveEvent, { source: string }>): void {
    if (!(event.source in this.#boards) && Object.keys(this.#boards).length >= BOARDS_KEPT) return;
    this.#boards = { ...this.#boards, [event.source]: { ...this.#boards[event.source], [event.type]: event } };
  }

  #startAfresh(): void {
    this.#snapshotText = undefined;
    this.#boards = {};
    this.#shots = [];
    this.#phases = new Map();
    this.#present = NOTHING_PRESENT;
    this.#newestNs = 0;
    this.#channels.clear();
    this.#pending.take();
    this.#afresh = true;
  }
}
