/**
 * The live feed: JSON text messages over a WebSocket at `/live`.
 *
 * A page connects, gets one `snapshot`, then `event` and `envelope` messages. Each `event` has a sequence number;
 * a page that was cut off connects again with `/live?session=ID&since=SEQ` and gets the events that it missed, or a
 * new snapshot where they are no longer kept. Envelopes have no number: they are a picture, thinned for a slow page.
 */
import type { AdjustedEvent, CrewEvent, HoldPointsEvent, ImpactsEvent, OffsetEvent, TextLinesEvent } from './crew-events.ts';
import type {
  BoardEvent,
  ClockEvent,
  InputsEvent,
  LinkEvent,
  NoteEvent,
  RigRejectedEvent,
  SessionEvent,
  ShotEvent,
  WireEvent,
} from './events.ts';
import type { SessionNs } from './record.ts';
import type { ReplayState } from './replay.ts';
import type { RigSummary } from './rig-summary.ts';
import type { Shot } from './shot.ts';
import type { WatchEvent } from './watch-events.ts';

/** The events that pages are told of; samples go as envelopes. */
export type LiveEvent =
  | SessionEvent
  | RigRejectedEvent
  | LinkEvent
  | BoardEvent
  | WireEvent
  | ClockEvent
  | InputsEvent
  | TextLinesEvent
  | NoteEvent
  | ShotEvent
  | WatchEvent
  | CrewEvent;

/** Per board: the newest of each. */
export interface LiveBoard {
  readonly link?: LinkEvent;
  readonly board?: BoardEvent;
  readonly wire?: WireEvent;
  readonly clock?: ClockEvent;
  readonly inputs?: InputsEvent;
  readonly 'text-lines'?: TextLinesEvent;
}

/** Minimum and maximum over each run of samples; bin i covers fromNs + i·binNs. To seven digits; a bin without samples holds null. */
export interface Envelope {
  readonly channel: string;
  readonly fromNs: SessionNs;
  readonly binNs: number;
  readonly min: readonly (number | null)[];
  readonly max: readonly (number | null)[];
  /** Mean of the newest bin, SI: the present number. null where nothing came. */
  readonly lastSi: number | null;
}

export interface SnapshotMessage {
  readonly type: 'snapshot';
  readonly seq: number;
  readonly mode: 'live' | 'replay';
  readonly sessionId: string;
  readonly rig: RigSummary;
  /** Session time now, and UTC of session time 0 in ms, so that a page can show clock time and ages. */
  readonly nowNs: SessionNs;
  readonly originUtcMs: number;
  readonly boards: Readonly<Record<string, LiveBoard>>;
  /** The newest of each kind and, of health and limits, of each channel and limit. */
  readonly watches: readonly WatchEvent[];
  /** Absent where the rig file names none. */
  readonly holdPoints?: HoldPointsEvent;
  readonly impacts?: ImpactsEvent;
  /** Channels set to zero or calibrated in this session: of each the newest. Absent where none was. */
  readonly adjusted?: readonly AdjustedEvent[];
  /** Of each channel that was looked at while open to the air the newest. Absent where none was. */
  readonly offsets?: readonly OffsetEvent[];
  /** Absent while nothing has ever been amiss with the journal. */
  readonly recording?: RecordingState;
  /** A rig file that could not be read, until one can be. */
  readonly rigRejected?: RigRejectedEvent;
  /** Newest first, at most 20. */
  readonly notes: readonly NoteEvent[];
  /** Recent history, newest last, for the scrolling traces. */
  readonly history: readonly Envelope[];
  /** Newest first, at most 20, pressure traces only in the first. */
  readonly shots: readonly Shot[];
  /** In a replay that can be moved about in. */
  readonly replay?: ReplayState;
  /** Of the first of them: while it is `opened`, what it lacks is still to come. Absent without a shot. */
  readonly newestShotPhase?: ShotEvent['phase'];
}

export interface EventMessage {
  readonly type: 'event';
  readonly seq: number;
  readonly nowNs: SessionNs;
  readonly event: LiveEvent;
}

export interface EnvelopeMessage {
  readonly type: 'envelope';
  readonly nowNs: SessionNs;
  readonly envelopes: readonly Envelope[];
}

/** A replay has changed: it was paused, set to another speed or moment, or read further ahead. */
export interface ReplayMessage {
  readonly type: 'replay';
  readonly nowNs: SessionNs;
  readonly replay: ReplayState;
}

/**
 * How the session's journal is doing. No record and no event of the pipeline, since a replay has nothing of it; told at
 * once when it changes, and a few times a second while more waits.
 */
export interface RecordingState {
  /** What the system says of the disk; empty while records reach it. */
  readonly problem: string;
  /** When that began; absent where there is no problem. */
  readonly sinceNs?: SessionNs;
  /** Wait in memory until the disk takes them. */
  readonly waitingBytes: number;
  /** With so many waiting, further records are lost. */
  readonly waitingBytesMax: number;
  /** Records of this session that no journal holds. */
  readonly lost?: { readonly records: number; readonly fromNs: SessionNs; readonly toNs: SessionNs; readonly sources: readonly string[] };
}

export interface RecordingMessage {
  readonly type: 'recording';
  readonly nowNs: SessionNs;
  readonly recording: RecordingState;
}

export type LiveMessage = SnapshotMessage | EventMessage | EnvelopeMessage | RecordingMessage | ReplayMessage;
