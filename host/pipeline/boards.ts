/** One board's line: frame check, sequence and resend, clock. What it says of edges and samples goes on to the next stages. */
import {
  type BoardMessage,
  decodeBoardLine,
  type Hello,
  type HostMessage,
  type LineRecord,
  type PipelineEvent,
  type Sequenced,
  type Stamp,
  WIRE,
  type WireCounters,
  type WireFault,
} from '../../protocol/index.ts';
import { type ClockClaim, fitClock, hostNs, hostNsStandardUncertainty, keepExchange, NO_EXCHANGES } from '../metrology/index.ts';
import type { GateBoardSetup } from '../rig/index.ts';
import { acknowledgeAgain, awaitedCount, NEW_SEQUENCE, passTime, type SequenceOutcome, takeFrame } from './sequence.ts';
import type { BoardState } from './state.ts';

export const newBoard = (name: string): BoardState => ({
  name,
  sequence: NEW_SEQUENCE,
  boardId: '',
  clockHistory: NO_EXCHANGES,
  clock: undefined,
  openedAtNs: 0,
  isLinked: false,
  heardAtNs: Number.NEGATIVE_INFINITY,
  linesReceived: 0,
  faults: {},
  lastFault: undefined,
  edgesCaptured: 0,
  edgesLost: 0,
  edgesHeld: 0,
  hostLinesBad: 0,
  inputsActive: 0,
  wireUntold: false,
  wireToldAtNs: Number.NEGATIVE_INFINITY,
});

/** Under a flood of faults the counters are told so often at most. */
const TELL_NS = 100e6;
/** A reply later than this is no clock exchange. */
const ROUND_TRIP_NS_MAX = 1e9;
/** Ceramic resonators are within 0.5 %; more is no oscillator's error. */
const RATE_ERROR_MAX = 0.01;

export interface BoardOutcome {
  readonly state: BoardState;
  readonly events: readonly PipelineEvent[];
  /** For the stages behind: only what is new and in order with the board's present start. */
  readonly message: Sequenced<BoardMessage> | undefined;
  readonly restarted: boolean;
}

export function takeLine(before: BoardState, setup: GateBoardSetup, record: LineRecord): BoardOutcome {
  const decoded = decodeBoardLine(latin1(record.bytes));
  const counted = { ...before, linesReceived: before.linesReceived + 1, isLinked: true };
  if (!decoded.ok) return unreadable(withFault(counted, decoded.fault), decoded.fault, record.atNs);
  const outcome = takeFrame(before.sequence, decoded.value, record.atNs);
  const state = sequenced({ ...counted, heardAtNs: record.atNs }, outcome);
  const requests = outcome.requests.map((message) => request(before.name, record.atNs, message));
  if (!outcome.accepted) return told(state, record.atNs, requests);
  const heard = hear(state, setup, decoded.value, outcome.restarted, record.atNs);
  return { ...told(heard.state, record.atNs, [...heard.events, ...requests]), message: decoded.value, restarted: outcome.restarted };
}

/** Where its CRC holds, its number has arrived, whatever it says: it is not asked for again. */
function unreadable(before: BoardState, fault: WireFault, atNs: number): BoardOutcome {
  if (fault.seq === undefined) return told(before, atNs, []);
  const outcome = takeFrame(before.sequence, { kind: 'UNREADABLE', seq: fault.seq }, atNs);
  return told(
    sequenced(before, outcome),
    atNs,
    outcome.requests.map((message) => request(before.name, atNs, message)),
  );
}

/** Time has passed without a line: ask again, tell what is untold. */
export function passBoardTime(before: BoardState, atNs: number): { readonly state: BoardState; readonly events: readonly PipelineEvent[] } {
  const { state: sequence, requests } = passTime(before.sequence, atNs);
  const { state, events } = told(sequence === before.sequence ? before : { ...before, sequence }, atNs, []);
  return { state, events: [...events, ...requests.map((message) => request(before.name, atNs, message))] };
}

export function claimOf(setup: GateBoardSetup): ClockClaim {
  return { tickRateHz: setup.tickRateHz.value, tickRateStandardUncertaintyHz: setup.tickRateHz.standardUncertainty };
}

const latin1 = (bytes: Uint8Array): string => Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString('latin1');

function request(source: string, atNs: number, message: HostMessage): PipelineEvent {
  return { type: 'request', atNs, source, message, afterSync: message.kind === 'ACK' };
}

function withFault(state: BoardState, fault: WireFault): BoardState {
  const faults = { ...state.faults, [fault.code]: (state.faults[fault.code] ?? 0) + 1 };
  return { ...state, faults, lastFault: fault, wireUntold: true };
}

function sequenced(state: BoardState, outcome: SequenceOutcome): BoardState {
  const { sequence } = state;
  const changed =
    outcome.state.framesMissed !== sequence.framesMissed ||
    outcome.state.framesRepeated !== sequence.framesRepeated ||
    outcome.state.framesRecovered !== sequence.framesRecovered ||
    outcome.state.framesGone !== sequence.framesGone;
  return { ...state, sequence: outcome.state, wireUntold: state.wireUntold || changed };
}

function hear(
  state: BoardState,
  setup: GateBoardSetup,
  message: Sequenced<BoardMessage>,
  restarted: boolean,
  atNs: number,
): { readonly state: BoardState; readonly events: readonly PipelineEvent[] } {
  switch (message.kind) {
    case 'HELLO': {
      const fresh = restarted ? { ...state, clockHistory: NO_EXCHANGES, clock: undefined } : state;
      const { boardId, bootId, resetCause, tickRateHz } = message;
      const problem = identityProblem(setup, message);
      const event = { type: 'board', atNs, source: state.name, boardId, bootId, resetCause, tickRateHz, restarted, problem } as const;
      return { state: { ...fresh, boardId, wireUntold: true }, events: [event] };
    }
    case 'STAMP':
      return exchange(state, setup, message, atNs);
    case 'BEAT': {
      const { edgesCaptured, edgesLost, edgesHeld, hostLinesBad, inputsActive } = message;
      const next = { ...state, edgesCaptured, edgesLost, edgesHeld, hostLinesBad, inputsActive, wireUntold: true };
      const again = edgesHeld > 0 ? acknowledgeAgain(state.sequence).map((ack) => request(state.name, atNs, ack)) : [];
      return { state: next, events: [{ type: 'inputs', atNs, source: state.name, active: inputsActive }, ...again] };
    }
    case 'EDGE': {
      const bit = 1 << message.input;
      const inputsActive = message.active ? state.inputsActive | bit : state.inputsActive & ~bit;
      return { state: { ...state, inputsActive }, events: [{ type: 'inputs', atNs, source: state.name, active: inputsActive }] };
    }
    default:
      return { state, events: [] };
  }
}

function identityProblem(setup: GateBoardSetup, { boardId, tickRateHz, protocolVersion }: Hello): string {
  if (protocolVersion !== WIRE.protocolVersion) {
    return `This board speaks version ${protocolVersion} of the wire; this host speaks ${WIRE.protocolVersion}. Bring one of them up to date.`;
  }
  if (setup.boardId !== undefined && setup.boardId !== boardId) {
    return `This is board ${boardId}; the rig file expects ${setup.boardId} here. Check which cable goes where.`;
  }
  const off = Math.abs(tickRateHz / setup.tickRateHz.value - 1);
  // Two boards of one design differ by parts in a thousand at most; more is another design or a wrong rig file.
  if (off > 0.01) return `The board says ${tickRateHz} ticks a second; the rig file says ${setup.tickRateHz.value}. Correct the rig file.`;
  return '';
}

/** PING carried the host's send time as its token, so the reply alone makes a whole exchange. */
function exchange(
  state: BoardState,
  setup: GateBoardSetup,
  stamp: Sequenced<Stamp>,
  atNs: number,
): { readonly state: BoardState; readonly events: readonly PipelineEvent[] } {
  const sentNs = Number.parseInt(stamp.token, 16);
  // Numbered before this session first heard the board, and fetched: an answer to the host before, whose times began at
  // another zero. Of our own only one that overtook the HELLO is lost by this.
  const isOwn = stamp.seq >= state.sequence.countFromSeq;
  const plausible =
    isOwn && sentNs >= state.openedAtNs && sentNs <= atNs && atNs - sentNs <= ROUND_TRIP_NS_MAX && stamp.ticksSent >= stamp.ticksReceived;
  if (!plausible) return { state, events: [] };
  const claim = claimOf(setup);
  const clockHistory = keepExchange(
    state.clockHistory,
    { sentNs, receivedTicks: stamp.ticksReceived, repliedTicks: stamp.ticksSent, arrivedNs: atNs },
    claim,
  );
  if (clockHistory.kept === state.clockHistory.kept) return { state: { ...state, clockHistory }, events: [] };
  const clock = fitClock(clockHistory, claim);
  // Ticks that run backwards or at another rate altogether are no clock.
  if (clock && Math.abs(clock.rateError) > RATE_ERROR_MAX) return { state, events: [] };
  if (!clock) return { state: { ...state, clockHistory }, events: [] };
  const event = {
    type: 'clock',
    atNs,
    source: state.name,
    exchanges: clockHistory.seen,
    rateErrorPpm: clock.rateError * 1e6,
    rateStandardUncertaintyPpm: clock.rateStandardUncertainty * 1e6,
    offsetS: stamp.ticksSent / setup.tickRateHz.value - hostNs(clock, stamp.ticksSent) / 1e9,
    offsetStandardUncertaintyS: hostNsStandardUncertainty(clock, stamp.ticksSent) / 1e9,
    roundTripS: clock.roundTripNs / 1e9,
  } as const;
  return { state: { ...state, clockHistory, clock }, events: [event] };
}

function told(state: BoardState, atNs: number, events: readonly PipelineEvent[]): BoardOutcome {
  const due = state.wireUntold && atNs - state.wireToldAtNs >= TELL_NS;
  const nothing = { message: undefined, restarted: false };
  if (!due) return { state, events, ...nothing };
  const fault = state.lastFault ? { lastFault: state.lastFault } : {};
  const wire = { type: 'wire', atNs, source: state.name, counters: countersOf(state), ...fault } as const;
  return { state: { ...state, wireUntold: false, wireToldAtNs: atNs }, events: [...events, wire], ...nothing };
}

function countersOf(state: BoardState): WireCounters {
  const { sequence } = state;
  return {
    linesReceived: state.linesReceived,
    faults: state.faults,
    framesRepeated: sequence.framesRepeated,
    framesMissed: sequence.framesMissed,
    framesRecovered: sequence.framesRecovered,
    framesGone: sequence.framesGone,
    framesAwaited: awaitedCount(sequence),
    edgesCaptured: state.edgesCaptured,
    edgesLost: state.edgesLost,
    edgesHeld: state.edgesHeld,
    hostLinesBad: state.hostLinesBad,
  };
}
