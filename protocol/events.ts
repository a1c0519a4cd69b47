/** What the pipeline says. The store keeps it, the pages show it; a replay gives the same to the byte. */
import type { CrewEvent, TextLinesEvent } from './crew-events.ts';
import type { LinkChange, SessionNs } from './record.ts';
import type { RigSummary } from './rig-summary.ts';
import type { Shot } from './shot.ts';
import type { WatchEvent } from './watch-events.ts';
import type { WireFault, WireFaultCode } from './wire/frame.ts';
import type { HostMessage, ResetCause } from './wire/messages.ts';

interface EventBase {
  readonly atNs: SessionNs;
}

export interface SessionEvent extends EventBase {
  readonly type: 'session';
  readonly sessionId: string;
  readonly openedAt: string;
  readonly softwareVersion: string;
  readonly rig: RigSummary;
}

/** A rig file in the journal that cannot be read: the session goes on with the one before. */
export interface RigRejectedEvent extends EventBase {
  readonly type: 'rig-rejected';
  readonly problems: readonly string[];
}

export interface LinkEvent extends EventBase {
  readonly type: 'link';
  readonly source: string;
  readonly change: LinkChange;
  readonly path: string;
  readonly detail: string;
}

/** A board said who it is. */
export interface BoardEvent extends EventBase {
  readonly type: 'board';
  readonly source: string;
  readonly boardId: string;
  readonly bootId: number;
  readonly resetCause: ResetCause;
  readonly tickRateHz: number;
  readonly restarted: boolean;
  /** Filled where the board is not the one that the rig file names. */
  readonly problem: string;
}

export interface WireCounters {
  readonly linesReceived: number;
  readonly faults: Readonly<Partial<Record<WireFaultCode, number>>>;
  readonly framesRepeated: number;
  /** Sequence numbers missed while the board was being heard; what it held before that is fetched without counting. */
  readonly framesMissed: number;
  /** Of those, fetched by asking again. */
  readonly framesRecovered: number;
  /** Of those, no longer held by the board. */
  readonly framesGone: number;
  /** Still outstanding. */
  readonly framesAwaited: number;
  readonly edgesCaptured: number;
  readonly edgesLost: number;
  readonly edgesHeld: number;
  readonly hostLinesBad: number;
}

/** Counters of a line board; sent when one of them that matters has changed, and with each heartbeat. */
export interface WireEvent extends EventBase {
  readonly type: 'wire';
  readonly source: string;
  readonly counters: WireCounters;
  readonly lastFault?: WireFault;
}

export interface ClockEvent extends EventBase {
  readonly type: 'clock';
  readonly source: string;
  readonly exchanges: number;
  /** Board clock against the host's, parts per million; positive = board runs fast. */
  readonly rateErrorPpm: number;
  readonly rateStandardUncertaintyPpm: number;
  /** The board's own clock (its ticks over its stated rate) less session time, at this moment, s; most of it is when it was switched on. */
  readonly offsetS: number;
  /** Of that, and so of the mapping to host time at this moment, s, k = 1. */
  readonly offsetStandardUncertaintyS: number;
  readonly roundTripS: number;
}

/** Bit 0 the trigger, bit n gate input n. */
export interface InputsEvent extends EventBase {
  readonly type: 'inputs';
  readonly source: string;
  readonly active: number;
}

/** Calibrated samples of one channel; pressures absolute. */
export interface SamplesEvent extends EventBase {
  readonly type: 'samples';
  readonly channel: string;
  readonly stream: 'slow' | 'burst';
  readonly fromNs: SessionNs;
  readonly periodNs: number;
  readonly valuesSi: readonly number[];
  /** What a board counted, one for each value; left out where its numbers came by themselves. */
  readonly counts?: readonly number[];
  /** The air's pressure that is in the values of a gauge, Pa; 0 in those of no gauge, left out with `counts`. */
  readonly addedSi?: number;
}

export interface NoteEvent extends EventBase {
  readonly type: 'note';
  readonly text: string;
  readonly shotId?: string;
  /** Of the shot, where that is an earlier session than this one. */
  readonly sessionId?: string;
  /** Absent for a note of the program's own, or of one who did not say. */
  readonly who?: string;
}

/**
 * opened: fired, numbers to come. measured: velocity known, may still be refined. closed: final.
 * A shot that is fetched late from a board may come as `closed` at once.
 */
export interface ShotEvent extends EventBase {
  readonly type: 'shot';
  readonly phase: 'opened' | 'measured' | 'closed';
  readonly shot: Shot;
}

/** The pipeline asks for a frame to be sent to a board. Replay has nobody to send it to. */
export interface RequestEvent extends EventBase {
  readonly type: 'request';
  readonly source: string;
  readonly message: HostMessage;
  /** true: only once the journal is on disk up to this record (DESIGN: an acknowledged edge survives power loss). */
  readonly afterSync: boolean;
}

export type PipelineEvent =
  | SessionEvent
  | RigRejectedEvent
  | LinkEvent
  | BoardEvent
  | WireEvent
  | ClockEvent
  | InputsEvent
  | SamplesEvent
  | NoteEvent
  | ShotEvent
  | RequestEvent
  | TextLinesEvent
  | WatchEvent
  | CrewEvent;
