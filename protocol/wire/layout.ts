/**
 * Which fields each message has, in the order of the line. One table, read by the encoder and the decoder, so the two
 * cannot drift apart; a test holds docs/protocol.md against it.
 */
import { choiceField, countsField, type Field, hexField, textField } from './fields.ts';
import { hex } from './frame.ts';
import { WIRE } from './limits.ts';
import type { BoardMessage, HostMessage, Message, ResetCause } from './messages.ts';

/** A rule between two fields. */
export interface Relation<M extends Message = Message> {
  readonly place: string;
  readonly expected: string;
  readonly found: (message: M) => string;
  readonly holds: (message: M) => boolean;
}

const token = textField('token', /^[0-9A-F]{16}$/, '16 hexadecimal digits');

const BOARD_FIELDS: { readonly [K in BoardMessage['kind']]: readonly Field[] } = {
  HELLO: [
    hexField('protocolVersion', 2),
    textField('boardId', /^[A-Za-z0-9_-]{1,24}$/, '1 to 24 letters, digits, - or _'),
    hexField('bootId', 8),
    choiceField<ResetCause>('resetCause', { P: 'power', W: 'watchdog', R: 'reset', U: 'unknown' }),
    hexField('tickRateHz', 8, { min: 1 }),
    hexField('ticks', 12),
    hexField('gateInputCount', 1, { max: WIRE.gateInputsMax }),
    hexField('channelCount', 2, { max: WIRE.channelsMax }),
    hexField('oldestHeldSeq', 8),
  ],
  BEAT: [
    hexField('ticks', 12),
    hexField('edgesCaptured', 8),
    hexField('edgesLost', 8),
    hexField('edgesHeld', 4),
    hexField('inputsActive', 4, { max: 2 ** (WIRE.gateInputsMax + 1) - 1 }),
    hexField('hostLinesBad', 8),
  ],
  STAMP: [token, hexField('ticksReceived', 12), hexField('ticksSent', 12)],
  EDGE: [
    hexField('input', 1, { max: WIRE.gateInputsMax }),
    choiceField('active', { B: true, C: false }),
    hexField('ticks', 12),
    choiceField('hardwareTimed', { H: true, S: false }),
  ],
  DATA: [
    choiceField('stream', { S: 'slow', F: 'burst' }),
    hexField('channel', 1, { max: WIRE.channelsMax - 1 }),
    hexField('ticks', 12),
    hexField('periodTicks', 8, { min: 1 }),
    countsField('counts', WIRE.blockSamplesMax),
  ],
  GONE: [hexField('fromSeq', 8), hexField('toSeq', 8)],
};

const HOST_FIELDS: { readonly [K in HostMessage['kind']]: readonly Field[] } = {
  WHO: [],
  PING: [token],
  RESEND: [hexField('bootId', 8), hexField('fromSeq', 8), hexField('toSeq', 8)],
  ACK: [hexField('bootId', 8), hexField('upToSeq', 8)],
};

const RELATIONS: { readonly [K in Message['kind']]?: Relation<Extract<Message, { kind: K }>> } = {
  STAMP: {
    place: 'ticksSent',
    expected: 'not before ticksReceived',
    found: (stamp) => hex(stamp.ticksSent, 12),
    holds: (stamp) => stamp.ticksSent >= stamp.ticksReceived,
  },
  GONE: {
    place: 'toSeq',
    expected: 'not before fromSeq',
    found: (gone) => hex(gone.toSeq, 8),
    holds: (gone) => gone.toSeq >= gone.fromSeq,
  },
  RESEND: {
    place: 'toSeq',
    expected: `fromSeq to fromSeq + ${WIRE.resendFramesMax - 1}`,
    found: (resend) => hex(resend.toSeq, 8),
    holds: (resend) => resend.toSeq >= resend.fromSeq && resend.toSeq - resend.fromSeq < WIRE.resendFramesMax,
  },
};

export interface MessageLayout {
  readonly sender: 'board' | 'host';
  readonly fields: readonly Field[];
  readonly relation: Relation | undefined;
}

const asLayouts = (sender: MessageLayout['sender'], table: Readonly<Record<string, readonly Field[]>>): [string, MessageLayout][] =>
  Object.entries(table).map(([kind, fields]) => [
    kind,
    { sender, fields, relation: RELATIONS[kind as Message['kind']] as Relation | undefined },
  ]);

/** Every message by its kind: who sends it, and its fields in the order of the line. */
export const wireLayout: ReadonlyMap<string, MessageLayout> = new Map([
  ...asLayouts('board', BOARD_FIELDS),
  ...asLayouts('host', HOST_FIELDS),
]);
