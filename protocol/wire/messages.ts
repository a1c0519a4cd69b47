/**
 * What the frames say. One table, read by the encoder and the decoder, so the two cannot drift apart.
 * The meaning of every field, with unit and range, is in docs/protocol.md.
 */
import { type Decoded, decodeFrame, encodeFrame, type Frame, hex, wireFault } from './frame.ts';
import { WIRE } from './limits.ts';

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
  readonly edgesCaptured: number;
  /** Edges that the board saw and could not keep. Each one is a loss for good. */
  readonly edgesLost: number;
  readonly edgesHeld: number;
  /** Bit 0 the trigger, bit n gate input n; set = active or blocked. */
  readonly inputsActive: number;
  readonly hostLinesBad: number;
}

/** Board to host: answer to PING. */
export interface Stamp {
  readonly kind: 'STAMP';
  readonly token: string;
  readonly ticksReceived: number;
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
  readonly toSeq: number;
}

export interface Who {
  readonly kind: 'WHO';
}

export interface Ping {
  readonly kind: 'PING';
  /** 16 hexadecimal digits, returned as they came. */
  readonly token: string;
}

export interface Resend {
  readonly kind: 'RESEND';
  readonly bootId: number;
  readonly fromSeq: number;
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

interface Field {
  readonly name: string;
  readonly encode: (value: unknown) => string;
  /** undefined where the text does not fit. */
  readonly decode: (text: string) => unknown;
  readonly expected: string;
}

function hexField(name: string, digits: number, max = 16 ** digits - 1): Field {
  const pattern = new RegExp(`^[0-9A-F]{${digits}}$`);
  return {
    name,
    encode: (value) => hex(value as number, digits),
    decode: (text) => {
      if (!pattern.test(text)) return undefined;
      const value = Number.parseInt(text, 16);
      return value <= max ? value : undefined;
    },
    expected: `${digits} hexadecimal digits${max < 16 ** digits - 1 ? `, at most ${hex(max, digits)}` : ''}`,
  };
}

function textField(name: string, pattern: RegExp, expected: string): Field {
  return { name, encode: (value) => String(value), decode: (text) => (pattern.test(text) ? text : undefined), expected };
}

function choiceField<T>(name: string, choices: Readonly<Record<string, T>>): Field {
  return {
    name,
    encode: (value) => Object.keys(choices).find((key) => choices[key] === value) ?? '',
    decode: (text) => (Object.hasOwn(choices, text) ? choices[text] : undefined),
    expected: `one of ${Object.keys(choices).join(' ')}`,
  };
}

const countsField: Field = {
  name: 'counts',
  encode: (value) => (value as readonly number[]).map((count) => hex(count, 4)).join(''),
  decode: (text) => {
    if (!/^(?:[0-9A-F]{4})+$/.test(text) || text.length / 4 > WIRE.blockSamplesMax) return undefined;
    return Array.from({ length: text.length / 4 }, (_, i) => Number.parseInt(text.slice(4 * i, 4 * i + 4), 16));
  },
  expected: `1 to ${WIRE.blockSamplesMax} samples of 4 hexadecimal digits`,
};

const LAYOUT: { readonly [K in Message['kind']]: readonly Field[] } = {
  HELLO: [
    hexField('protocolVersion', 2),
    textField('boardId', /^[A-Za-z0-9_-]{1,24}$/, '1 to 24 letters, digits, - or _'),
    hexField('bootId', 8),
    choiceField<ResetCause>('resetCause', { P: 'power', W: 'watchdog', R: 'reset', U: 'unknown' }),
    hexField('tickRateHz', 8),
    hexField('ticks', 12),
    hexField('gateInputCount', 1, WIRE.gateInputsMax),
    hexField('channelCount', 2, WIRE.channelsMax),
    hexField('oldestHeldSeq', 8),
  ],
  BEAT: [
    hexField('ticks', 12),
    hexField('edgesCaptured', 8),
    hexField('edgesLost', 8),
    hexField('edgesHeld', 4),
    hexField('inputsActive', 4),
    hexField('hostLinesBad', 8),
  ],
  STAMP: [textField('token', /^[0-9A-F]{16}$/, '16 hexadecimal digits'), hexField('ticksReceived', 12), hexField('ticksSent', 12)],
  EDGE: [
    hexField('input', 1, WIRE.gateInputsMax),
    choiceField('active', { B: true, C: false }),
    hexField('ticks', 12),
    choiceField('hardwareTimed', { H: true, S: false }),
  ],
  DATA: [
    choiceField('stream', { S: 'slow', F: 'burst' }),
    hexField('channel', 1, WIRE.channelsMax - 1),
    hexField('ticks', 12),
    hexField('periodTicks', 8),
    countsField,
  ],
  GONE: [hexField('fromSeq', 8), hexField('toSeq', 8)],
  WHO: [],
  PING: [textField('token', /^[0-9A-F]{16}$/, '16 hexadecimal digits')],
  RESEND: [hexField('bootId', 8), hexField('fromSeq', 8), hexField('toSeq', 8)],
  ACK: [hexField('bootId', 8), hexField('upToSeq', 8)],
};

export type Sequenced<M extends Message = Message> = M & { readonly seq: number };

const BOARD_KINDS: ReadonlySet<string> = new Set<BoardMessage['kind']>(['HELLO', 'BEAT', 'STAMP', 'EDGE', 'DATA', 'GONE']);

/**
 * @returns the line without its line feed
 * @throws RangeError where a value does not fit its field (caller's bug)
 */
export function encodeMessage(message: Message, seq: number): string {
  const values = message as unknown as Readonly<Record<string, unknown>>;
  const fields = LAYOUT[message.kind].map((field) => {
    const text = field.encode(values[field.name]);
    if (field.decode(text) === undefined)
      throw new RangeError(`${message.kind} ${field.name}: ${String(values[field.name])}, expected ${field.expected}`);
    return text;
  });
  return encodeFrame({ kind: message.kind, seq, fields });
}

/** A line that a board sent: its message, or what is wrong with it. */
export function decodeBoardLine(line: string): Decoded<Sequenced<BoardMessage>> {
  return decodeLine(line, (kind) => BOARD_KINDS.has(kind)) as Decoded<Sequenced<BoardMessage>>;
}

/** A line that a host sent: its message, or what is wrong with it. */
export function decodeHostLine(line: string): Decoded<Sequenced<HostMessage>> {
  return decodeLine(line, (kind) => !BOARD_KINDS.has(kind)) as Decoded<Sequenced<HostMessage>>;
}

function decodeLine(line: string, wanted: (kind: string) => boolean): Decoded<Sequenced> {
  const frame = decodeFrame(line);
  if (!frame.ok) return frame;
  if (!Object.hasOwn(LAYOUT, frame.value.kind) || !wanted(frame.value.kind)) {
    return wireFault('unknown-kind', 'kind', frame.value.kind, `one of ${Object.keys(LAYOUT).filter(wanted).join(' ')}`);
  }
  return decodeFields(frame.value);
}

function decodeFields(frame: Frame): Decoded<Sequenced> {
  const layout = LAYOUT[frame.kind as Message['kind']];
  if (frame.fields.length !== layout.length) {
    return wireFault('bad-field', 'line', `${frame.fields.length} fields`, `${layout.length} fields in ${frame.kind}`);
  }
  const message: Record<string, unknown> = { kind: frame.kind, seq: frame.seq };
  for (const [i, field] of layout.entries()) {
    const text = frame.fields[i] as string;
    const value = field.decode(text);
    if (value === undefined) return wireFault('bad-field', field.name, text, field.expected);
    message[field.name] = value;
  }
  return { ok: true, value: message as unknown as Sequenced };
}
