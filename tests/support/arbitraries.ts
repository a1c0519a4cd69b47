/** Arbitrary wire messages, for every test that needs some. */
import fc from 'fast-check';
import { type BoardMessage, type HostMessage, type Message, WIRE } from '../../protocol/index.ts';

const uint = (max: number) => fc.nat({ max });
/** 48-bit: beyond what fc.nat can give. */
const ticks = fc.oneof(
  fc.maxSafeNat().map((n) => n % (WIRE.ticksMax + 1)),
  fc.constantFrom(0, WIRE.ticksMax),
);
const uint32 = fc.oneof(fc.integer({ min: 0, max: 0xffff_ffff }), fc.constantFrom(0, 0xffff_ffff));
const charactersOf = (alphabet: string) => fc.constantFrom(...alphabet);
const upperHex = '0123456789ABCDEF';
const wordCharacters = '0123456789-_ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz';
const token = fc.string({ unit: charactersOf(upperHex), minLength: 16, maxLength: 16 });
const ascending = (one: fc.Arbitrary<number>) => fc.tuple(one, one).map(([a, b]) => [Math.min(a, b), Math.max(a, b)] as const);

/** A frame's number, 0 to 0xFFFFFFFF. */
export const seqArbitrary: fc.Arbitrary<number> = uint32;

export const boardMessageArbitrary: fc.Arbitrary<BoardMessage> = fc.oneof(
  fc.record({
    kind: fc.constant('HELLO' as const),
    protocolVersion: uint(0xff),
    boardId: fc.string({ unit: charactersOf(wordCharacters), minLength: 1, maxLength: 24 }),
    bootId: uint32,
    resetCause: fc.constantFrom('power' as const, 'watchdog' as const, 'reset' as const, 'unknown' as const),
    tickRateHz: fc.integer({ min: 1, max: 0xffff_ffff }),
    ticks,
    gateInputCount: uint(WIRE.gateInputsMax),
    channelCount: uint(WIRE.channelsMax),
    oldestHeldSeq: uint32,
  }),
  fc.record({
    kind: fc.constant('BEAT' as const),
    ticks,
    edgesCaptured: uint32,
    edgesLost: uint32,
    edgesHeld: uint(0xffff),
    inputsActive: uint(0x1ff),
    hostLinesBad: uint32,
  }),
  fc
    .record({ token, span: ascending(ticks) })
    .map(({ token, span }) => ({ kind: 'STAMP' as const, token, ticksReceived: span[0], ticksSent: span[1] })),
  fc.record({
    kind: fc.constant('EDGE' as const),
    input: uint(WIRE.gateInputsMax),
    active: fc.boolean(),
    ticks,
    hardwareTimed: fc.boolean(),
  }),
  fc.record({
    kind: fc.constant('DATA' as const),
    stream: fc.constantFrom('slow' as const, 'burst' as const),
    channel: uint(WIRE.channelsMax - 1),
    ticks,
    periodTicks: fc.integer({ min: 1, max: 0xffff_ffff }),
    counts: fc.array(uint(0xffff), { minLength: 1, maxLength: WIRE.blockSamplesMax, size: 'max' }),
  }),
  ascending(uint32).map(([fromSeq, toSeq]) => ({ kind: 'GONE' as const, fromSeq, toSeq })),
);

export const hostMessageArbitrary: fc.Arbitrary<HostMessage> = fc.oneof(
  fc.constant({ kind: 'WHO' as const }),
  token.map((token) => ({ kind: 'PING' as const, token })),
  fc.record({ bootId: uint32, fromSeq: uint32, more: uint(WIRE.resendFramesMax - 1) }).map(({ bootId, fromSeq, more }) => ({
    kind: 'RESEND' as const,
    bootId,
    fromSeq,
    toSeq: Math.min(fromSeq + more, WIRE.sequenceMax),
  })),
  fc.record({ kind: fc.constant('ACK' as const), bootId: uint32, upToSeq: uint32 }),
);

export const messageArbitrary: fc.Arbitrary<Message> = fc.oneof(boardMessageArbitrary, hostMessageArbitrary);
