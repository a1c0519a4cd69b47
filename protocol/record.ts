/**
 * Everything that enters Postern, as it entered. A record is in the journal before anything that follows
 * from it leaves the process; nothing else is truth.
 */

/** Monotonic nanoseconds since the session was opened: a safe integer for the first 104 days. */
export type SessionNs = number;

interface RecordBase {
  readonly atNs: SessionNs;
  /** A board's or instrument's name in the rig file, or `host`, or `operator`. */
  readonly source: string;
}

/** A raw line from a line-protocol board, before any check, without its line feed. */
export interface LineRecord extends RecordBase {
  readonly kind: 'line';
  readonly bytes: Uint8Array;
}

/** What a board driver hands over, e.g. a converted weather reading or a raw count. Keys carry their unit. */
export interface ReadingRecord extends RecordBase {
  readonly kind: 'reading';
  readonly value: Readonly<Record<string, number>>;
}

export type LinkChange = 'opening' | 'opened' | 'lost' | 'closed';

export interface LinkRecord extends RecordBase {
  readonly kind: 'link';
  readonly value: { readonly change: LinkChange; readonly path: string; readonly detail: string };
}

/** A person's act: a note on the session or on a shot. */
export interface OperatorRecord extends RecordBase {
  readonly kind: 'operator';
  readonly value: { readonly act: 'note'; readonly text: string; readonly shotId?: string };
}

/** The rig file's whole text, at the start and at each change. */
export interface RigRecord extends RecordBase {
  readonly kind: 'rig';
  readonly value: {
    readonly sessionId: string;
    readonly softwareVersion: string;
    readonly protocolVersion: number;
    readonly fileName: string;
    readonly text: string;
  };
}

/** Ties the session's monotonic time to UTC; written at the start and about once a second. */
export interface ClockRecord extends RecordBase {
  readonly kind: 'clock';
  /** Microseconds since 1970-01-01T00:00:00Z. */
  readonly value: { readonly utcUs: number };
}

export type PosternRecord = LineRecord | ReadingRecord | LinkRecord | OperatorRecord | RigRecord | ClockRecord;
export type RecordKind = PosternRecord['kind'];
