/** What a kind of link supplies; everything that links have in common is in supervised-link.ts. */
import type { LineRecord, ReadingRecord } from '../../protocol/index.ts';
import type { LineEnding } from './line-splitter.ts';

export interface DeviceKind {
  /** In the rig file; the source of its records. */
  readonly name: string;
  /** Needed unless there is a serial number. */
  readonly path?: string;
  /** Of the USB adapter; the port is then found by it, whatever its path. */
  readonly serialNumber?: string;
  readonly baudRate: number;
  /** What the device must call itself. Where it is not at its path, the other ports are asked for it. */
  readonly identity?: string;
  /** Undefined: its bytes are not split into lines. */
  readonly lineEnding?: LineEnding;
  /** The port is open: say what is to be said first. What this or the conversation throws loses the link, and nothing else. */
  converse(line: DeviceLine): Conversation;
}

/** One opening of the port, as its device's driver hears it. */
export interface Conversation {
  /** Each arrival, before the lines in it. */
  onBytes?(bytes: Uint8Array): void;
  /** Without its line ending, at most PIECE_BYTES_MAX bytes and a CONTINUED before them. */
  onLine?(bytes: Uint8Array): void;
  /** The port is gone or given up; timers of `after` have ended. */
  onClosed?(): void;
}

/** One opening of the port, as its device's driver speaks to it. Does nothing once the port is gone. */
export interface DeviceLine {
  readonly path: string;
  /** The port is not known to be the device's own: records are held back until `accept`, and forgotten at `refuse`. */
  readonly needsProof: boolean;
  /** Session ns of the newest arrival of bytes. */
  readonly arrivedAtNs: number;
  /** Bytes written that the system has not taken yet. */
  readonly pendingBytes: number;
  /** @returns false where the bytes were dropped: the port is gone, or does not take them */
  write(bytes: Uint8Array): boolean;
  record(record: LineRecord | ReadingRecord): void;
  /** This is the device, as far as can be known: the link is running. Bytes without it for a set time are a wrong device. */
  accept(detail: string): void;
  /** After `accept`: the link still runs, and this is what is to be said of it now, a whole sentence. */
  remark(detail: string): void;
  /** This is another device. @param detail  which, which was expected, what to do */
  refuse(detail: string): void;
  /** The link is to be given up and opened anew. */
  fail(detail: string): void;
  /** Calls once, unless the port is gone by then. */
  after(delayMs: number, act: () => void): void;
}
