/**
 * Sequence and resend, for one board. Decides which frames are new, which are missing, what to ask for and what may be
 * acknowledged. docs/protocol.md gives the rules; this file is the host's side of them.
 */
import { type BoardMessage, type HostMessage, type Sequenced, WIRE } from '../../protocol/index.ts';

/** Inclusive run of sequence numbers. */
export interface SeqRange {
  readonly from: number;
  readonly to: number;
}

export interface SequenceState {
  /** Of the board's present start; undefined until it has said who it is. Frames before that are fetched again. */
  readonly bootId: number | undefined;
  readonly nextSeq: number;
  /** Ascending, not touching, at most GAPS_MAX. */
  readonly missing: readonly SeqRange[];
  /** Edge frames taken in and not yet covered by an acknowledgement, ascending. */
  readonly unacknowledgedEdges: readonly number[];
  readonly acknowledgedUpTo: number;
  /** Numbers below this were on the board before it was first heard; fetching them is no loss made good. */
  readonly countFromSeq: number;
  /** Edges with a number below this were on the board before this session first heard it: another session may have told them. */
  readonly sessionFromSeq: number;
  readonly askedAtNs: number;
  readonly askedCount: number;
  /** Up to and including this number everything missing has been asked for since the last progress. */
  readonly askedTo: number;
  readonly progressAtNs: number;
  readonly framesRepeated: number;
  readonly framesMissed: number;
  readonly framesRecovered: number;
  readonly framesGone: number;
}

export const NEW_SEQUENCE: SequenceState = {
  bootId: undefined,
  nextSeq: 0,
  missing: [],
  unacknowledgedEdges: [],
  acknowledgedUpTo: -1,
  countFromSeq: 0,
  sessionFromSeq: 0,
  askedAtNs: Number.NEGATIVE_INFINITY,
  askedCount: 0,
  askedTo: -1,
  progressAtNs: Number.NEGATIVE_INFINITY,
  framesRepeated: 0,
  framesMissed: 0,
  framesRecovered: 0,
  framesGone: 0,
};

/** With so many gaps open no frame is taken that would open another: the board is asked for it later, in order. */
const GAPS_MAX = 64;
/** More edges than any board holds. */
const UNACKNOWLEDGED_MAX = 4096;
const ASK_AGAIN_NS = 500e6;
const ASK_SELDOM_NS = 2e9;
const ASKS_BEFORE_SELDOM = 5;
/** A number so far ahead is no gap of ours: 19 hours at 250 frames a second. */
const JUMP_MAX = 2 ** 24;

export interface SequenceOutcome {
  readonly state: SequenceState;
  /** The frame is new and goes on to the next stage. */
  readonly accepted: boolean;
  /** The board has started anew: ticks and clock begin again. */
  readonly restarted: boolean;
  readonly requests: readonly HostMessage[];
}

/** A frame whose CRC holds and whose content cannot be read: it has arrived under its number, and says nothing. */
export interface UnreadableFrame {
  readonly kind: 'UNREADABLE';
  readonly seq: number;
}

type Arrived = Sequenced<BoardMessage> | UnreadableFrame;

/** Takes one frame in. */
export function takeFrame(from: SequenceState, message: Arrived, atNs: number): SequenceOutcome {
  if (message.kind === 'HELLO' && message.bootId !== from.bootId) return started(from, message, atNs);
  const before = message.kind === 'HELLO' ? withoutForgotten(from, message) : from;
  if (before.bootId === undefined) return refused(before, askWho(before, atNs), atNs);
  if (message.seq >= before.nextSeq) {
    if (message.seq - before.nextSeq > JUMP_MAX)
      return refused({ ...before, framesRepeated: before.framesRepeated + 1 }, askWho(before, atNs), atNs);
    if (message.seq > before.nextSeq && before.missing.length >= GAPS_MAX) return refused(before, [], atNs);
    return accepted(before, message, atNs, passed(before, message.seq));
  }
  const filled = withoutRange(before.missing, { from: message.seq, to: message.seq });
  if (filled === before.missing) {
    // Either a repeat, or the board has started again and its HELLO was lost: ask, and decide by the answer.
    return refused({ ...before, framesRepeated: before.framesRepeated + 1 }, askWho(before, atNs), atNs);
  }
  if (filled.length > 2 * GAPS_MAX || before.unacknowledgedEdges.length >= UNACKNOWLEDGED_MAX) return refused(before, [], atNs);
  return accepted(before, message, atNs, {
    ...before,
    missing: filled,
    framesRecovered: before.framesRecovered + (message.seq >= before.countFromSeq ? 1 : 0),
    progressAtNs: atNs,
    askedCount: 0,
  });
}

/** Time has passed: asks again for what is still missing. */
export function passTime(
  before: SequenceState,
  atNs: number,
): { readonly state: SequenceState; readonly requests: readonly HostMessage[] } {
  const first = before.missing[0];
  if (!first || before.bootId === undefined) return { state: before, requests: [] };
  const wait = before.askedCount < ASKS_BEFORE_SELDOM ? ASK_AGAIN_NS : ASK_SELDOM_NS;
  if (atNs - Math.max(before.askedAtNs, before.progressAtNs) < wait) return { state: before, requests: [] };
  return ask(before, first, before.bootId, atNs);
}

/** The link is open again: whatever was asked for before is asked for anew. */
export const forgetAsking = (before: SequenceState): SequenceState => ({
  ...before,
  askedAtNs: Number.NEGATIVE_INFINITY,
  progressAtNs: Number.NEGATIVE_INFINITY,
  askedCount: 0,
});

/** The board holds edges that were acknowledged long ago: its copy of the acknowledgement was lost. */
export function acknowledgeAgain(state: SequenceState): readonly HostMessage[] {
  if (state.bootId === undefined || state.acknowledgedUpTo < 0 || state.unacknowledgedEdges.length > 0) return [];
  return [{ kind: 'ACK', bootId: state.bootId, upToSeq: state.acknowledgedUpTo }];
}

export const awaitedCount = (state: SequenceState): number => state.missing.reduce((sum, range) => sum + range.to - range.from + 1, 0);

/** As awaitedCount, of the numbers that were missed while the board was heard. */
const lostCount = (state: SequenceState): number =>
  state.missing.reduce((sum, range) => sum + Math.max(0, range.to - Math.max(range.from, state.countFromSeq) + 1), 0);

/** What lies below the oldest number that the board still holds cannot be fetched any more. */
function withoutForgotten(before: SequenceState, hello: Sequenced<BoardMessage> & { readonly kind: 'HELLO' }): SequenceState {
  const oldest = Math.min(hello.oldestHeldSeq, hello.seq);
  const missing = withoutRange(before.missing, { from: 0, to: oldest - 1 });
  const gone = lostCount(before) - lostCount({ ...before, missing });
  const skipped = Math.max(0, oldest - before.nextSeq);
  if (gone === 0 && skipped === 0 && missing === before.missing) return before;
  return {
    ...before,
    missing,
    nextSeq: before.nextSeq + skipped,
    framesMissed: before.framesMissed + skipped,
    framesGone: before.framesGone + gone + skipped,
  };
}

function started(before: SequenceState, hello: Sequenced<BoardMessage> & { readonly kind: 'HELLO' }, atNs: number): SequenceOutcome {
  const oldest = Math.min(hello.oldestHeldSeq, hello.seq);
  const missing = oldest < hello.seq ? [{ from: oldest, to: hello.seq - 1 }] : [];
  const state: SequenceState = {
    ...NEW_SEQUENCE,
    bootId: hello.bootId,
    nextSeq: hello.seq + 1,
    missing,
    acknowledgedUpTo: oldest - 1,
    countFromSeq: hello.seq,
    // A start of the board within the session was heard by no session before.
    sessionFromSeq: before.bootId === undefined ? hello.seq : 0,
    framesRepeated: before.framesRepeated,
    framesMissed: before.framesMissed,
    framesRecovered: before.framesRecovered,
    framesGone: before.framesGone,
  };
  const first = missing[0];
  const asked = first ? ask(state, first, hello.bootId, atNs) : { state, requests: [] };
  return { ...asked, accepted: true, restarted: before.bootId !== undefined };
}

function refused(state: SequenceState, who: readonly HostMessage[], atNs: number): SequenceOutcome {
  return { state: who.length > 0 ? { ...state, askedAtNs: atNs } : state, accepted: false, restarted: false, requests: who };
}

function askWho(state: SequenceState, atNs: number): readonly HostMessage[] {
  return atNs - state.askedAtNs >= ASK_AGAIN_NS ? [{ kind: 'WHO' }] : [];
}

function passed(before: SequenceState, seq: number): SequenceState {
  const skipped = seq - before.nextSeq;
  const missing = skipped > 0 ? [...before.missing, { from: before.nextSeq, to: seq - 1 }] : before.missing;
  return { ...before, nextSeq: seq + 1, missing, framesMissed: before.framesMissed + skipped };
}

function accepted(before: SequenceState, message: Arrived, atNs: number, taken: SequenceState): SequenceOutcome {
  let state = taken;
  if (message.kind === 'GONE') {
    const missing = withoutRange(state.missing, { from: message.fromSeq, to: message.toSeq });
    const gone = lostCount(state) - lostCount({ ...state, missing });
    state = {
      ...state,
      missing,
      framesGone: state.framesGone + gone,
      progressAtNs: missing === before.missing ? state.progressAtNs : atNs,
    };
  }
  if (message.kind === 'EDGE') {
    state = { ...state, unacknowledgedEdges: insertAscending(state.unacknowledgedEdges, message.seq) };
  }
  const requests: HostMessage[] = [];
  const first = state.missing[0];
  const gapIsNew = state.missing.length > before.missing.length;
  const askedRunDone = first !== undefined && state.askedTo >= 0 && first.from > state.askedTo;
  if (first && state.bootId !== undefined && (gapIsNew || askedRunDone)) {
    const asked = ask(state, gapIsNew ? (state.missing.at(-1) as SeqRange) : first, state.bootId, atNs);
    state = asked.state;
    requests.push(...asked.requests);
  }
  return { state, accepted: true, restarted: false, requests };
}

/**
 * Everything below the first gap is here; edges below it may be let go by the board.
 * @param heldFrom  frame number of the first edge that the board is to keep all the same
 */
export function acknowledge(state: SequenceState, heldFrom: number): readonly [SequenceState, readonly HostMessage[]] {
  const upToSeq = Math.min(state.missing[0]?.from ?? state.nextSeq, heldFrom) - 1;
  const covered = state.unacknowledgedEdges.filter((seq) => seq <= upToSeq).length;
  if (covered === 0 || state.bootId === undefined) return [state, []];
  const next = { ...state, unacknowledgedEdges: state.unacknowledgedEdges.slice(covered), acknowledgedUpTo: upToSeq };
  return [next, [{ kind: 'ACK', bootId: state.bootId, upToSeq }]];
}

function ask(
  state: SequenceState,
  range: SeqRange,
  bootId: number,
  atNs: number,
): { readonly state: SequenceState; readonly requests: readonly HostMessage[] } {
  const toSeq = Math.min(range.to, range.from + WIRE.resendFramesMax - 1);
  const request: HostMessage = { kind: 'RESEND', bootId, fromSeq: range.from, toSeq };
  return { state: { ...state, askedAtNs: atNs, askedCount: state.askedCount + 1, askedTo: toSeq }, requests: [request] };
}

/** The same array where nothing of it lies in the range. */
function withoutRange(ranges: readonly SeqRange[], out: SeqRange): readonly SeqRange[] {
  if (!ranges.some((range) => range.from <= out.to && range.to >= out.from)) return ranges;
  return ranges.flatMap((range) => {
    if (range.to < out.from || range.from > out.to) return [range];
    const left = { from: range.from, to: out.from - 1 };
    const right = { from: out.to + 1, to: range.to };
    return [left, right].filter((part) => part.from <= part.to);
  });
}

function insertAscending(values: readonly number[], value: number): readonly number[] {
  let place = values.length;
  while (place > 0 && (values[place - 1] as number) > value) place--;
  return [...values.slice(0, place), value, ...values.slice(place)];
}
