/**
 * Everything that enters Postern, as it entered. A record is in the journal before anything that follows
 * from it leaves the process; nothing else is truth.
 */

import type { OperatorAct } from './operator.ts';

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

/**
 * What a link is doing. A link is in one of these states at a time; each is told once, with a plain sentence, and again
 * where the sentence is another. `opened` is told once an opening, and so marks each new one.
 *
 * - `searching`: nothing is where the device should be; it is looked for.
 * - `opening`: its port is there and is being opened, or refuses (the detail says why).
 * - `opened`: the port is open, nothing has been heard yet; what an `opening` comes to. Ends any other state but `running`.
 * - `running`: the device is heard, and is the one that the rig file names as far as that can be known; the detail says
 *   what is amiss behind it, as a sensor that does not answer.
 * - `silent`: nothing heard for a set time; the port is opened anew, ever more slowly, until something comes.
 * - `lost`: the port went away, or the driver failed; opened again as soon as may be. Stays until the port is open again.
 * - `wrong-device`: something answers that is not what the rig file names; asked again slowly.
 * - `closed`: the host has ended the link.
 */
export const LINK_CHANGES = ['searching', 'opening', 'opened', 'running', 'silent', 'lost', 'wrong-device', 'closed'] as const;
export type LinkChange = (typeof LINK_CHANGES)[number];

export interface LinkRecord extends RecordBase {
  readonly kind: 'link';
  /** path: of the port in use or tried last, empty where none is known; detail: one plain sentence. */
  readonly value: { readonly change: LinkChange; readonly path: string; readonly detail: string };
}

/** A person's act. */
export interface OperatorRecord extends RecordBase {
  readonly kind: 'operator';
  readonly value: OperatorAct;
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
