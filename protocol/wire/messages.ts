/**
 * What the frames say, as values. Which characters carry them is in layout.ts; the meaning of every field,
 * with unit and range, is in docs/protocol.md.
 */
export type ResetCause = 'power' | 'watchdog' | 'reset' | 'unknown';

/** Board to host: who I am, and from where I can send again. */
export interface Hello {
  readonly kind: 'HELLO';
  readonly protocolVersion: number;
  readonly boardId: string;
  /** Differs at every start of the board. */
  readonly bootId: number;
  readonly resetCause: ResetCause;
  readonly tickRateHz: number;
  readonly ticks: number;
  readonly gateInputCount: number;
  readonly channelCount: number;
  /** Lowest sequence number that the board could send again. */
  readonly oldestHeldSeq: number;
}

/** Board to host, once a second. */
export interface Beat {
  readonly kind: 'BEAT';
  readonly ticks: number;
  /** Edges seen since the board's start, kept or not. */
  readonly edgesCaptured: number;
  /** Of those, edges that the board could not keep. Each one is a loss for good. */
  readonly edgesLost: number;
  /** Edges kept now: not yet acknowledged. */
  readonly edgesHeld: number;
  /** Bit 0 the trigger, bit n gate input n; set = active or blocked. */
  readonly inputsActive: number;
  /** Lines from the host that were refused since the board's start. */
  readonly hostLinesBad: number;
}

/** Board to host: answer to PING. */
export interface Stamp {
  readonly kind: 'STAMP';
  readonly token: string;
  /** When the line feed of PING came. */
  readonly ticksReceived: number;
  /** Just before the first byte of this frame went out; not below ticksReceived. */
  readonly ticksSent: number;
}

/** Board to host: one edge of one input. Held until acknowledged. */
export interface Edge {
  readonly kind: 'EDGE';
  readonly input: number;
  /** true = beam blocked, or trigger active. */
  readonly active: boolean;
  readonly ticks: number;
  /** false where software, not the capture hardware, took the time. */
  readonly hardwareTimed: boolean;
}

/** Board to host: a run of evenly spaced raw samples of one channel. */
export interface DataBlock {
  readonly kind: 'DATA';
  /** slow = the running stream; burst = the ring buffer kept around a shot. */
  readonly stream: 'slow' | 'burst';
  readonly channel: number;
  /** Of the first sample. */
  readonly ticks: number;
  readonly periodTicks: number;
  readonly counts: readonly number[];
}

/** Board to host: these numbers were asked for again and are no longer held. */
export interface Gone {
  readonly kind: 'GONE';
  readonly fromSeq: number;
  /** Inclusive, not below fromSeq. */
  readonly toSeq: number;
}

/** Host to board: say HELLO. */
export interface Who {
  readonly kind: 'WHO';
}

/** Host to board: read your clock. */
export interface Ping {
  readonly kind: 'PING';
  /** 16 hexadecimal digits, returned as they came. */
  readonly token: string;
}

/** Host to board: send these numbers again, or say that they are gone. */
export interface Resend {
  readonly kind: 'RESEND';
  readonly bootId: number;
  readonly fromSeq: number;
  /** Inclusive, fromSeq to fromSeq + 255. */
  readonly toSeq: number;
}

/** Host to board: everything up to and including this number is safe; its edges may be let go. */
export interface Ack {
  readonly kind: 'ACK';
  readonly bootId: number;
  readonly upToSeq: number;
}

export type BoardMessage = Hello | Beat | Stamp | Edge | DataBlock | Gone;
export type HostMessage = Who | Ping | Resend | Ack;
export type Message = BoardMessage | HostMessage;

export type Sequenced<M extends Message = Message> = M & { readonly seq: number };
