/**
 * Shot assembly: which edges and samples make one shot, and when it is complete. Works in the boards' own ticks, so an
 * edge that is fetched after the cable was out falls into its place, also where its shot was closed meanwhile: that shot
 * is opened again under its number. Only waiting and closing go by record time.
 */
import type { PipelineEvent, SessionNs, Shot } from '../../protocol/index.ts';
import { gateBoards, type Rig } from '../rig/index.ts';
import { awaitedCount } from './sequence.ts';
import { withBlowDown } from './shot-blow-down.ts';
import { describeShot, keptFrom, surroundingsOf } from './shot-report.ts';
import { belongs, flightWindowS, isGate, isTrigger, recordFor } from './shot-window.ts';
import type { BoardEdge, Firing, PipelineState, ShotRecord } from './state.ts';
import { boardOf, edgesLost, secondsBetween } from './time.ts';
import { withPast } from './weighing.ts';

export type ShotStep = readonly [PipelineState, readonly PipelineEvent[]];

/** Gate edges without a shot wait so long for the firing signal, which may have to be asked for twice. */
const TRIGGER_WAIT_NS = 1.2e9;
/** …and so long for their board's clock, where the rig has several boards. */
const CLOCK_WAIT_NS = 10e9;
/** A shot is complete when nothing that belongs to it has come for so long and nothing can be on its way… */
const QUIET_NS = 500e6;
/** …or after this, whatever is still awaited. */
const CLOSE_NS_MAX = 10e9;
/** A firing signal that comes back so soon after its release is its contact bouncing. */
const BOUNCE_S = 0.05;
const EDGES_MAX = 512;
const RECORDS_MAX = 16;
/** Reservoir's fall within one block of samples, of at most this length, that only a firing makes: 8 %, and 50 kPa. */
const BLOW_DOWN = { share: 0.08, pa: 50e3, blockS: 0.2 };

export function takeEdge(state: PipelineState, rig: Rig, edge: BoardEdge): ShotStep {
  if (!isTrigger(rig, edge) && !isGate(rig, edge)) return [state, []];
  const record = recordFor(state, rig, edge);
  if (record) return withEdge(state, rig, record, edge);
  if (isTrigger(rig, edge)) {
    if (!edge.active || isBounce(state, rig, edge)) return [remembered(state, edge), []];
    return opened(state, rig, { by: 'trigger', board: edge.board, bootId: edge.bootId, ticks: edge.ticks }, edge.arrivedAtNs, [edge]);
  }
  const next = remembered(state, edge);
  // Without a firing signal to come, the numbers go out with the last gate's last edge.
  if (rig.trigger || edge.active || !haveAllGates(next.shots.waiting, rig)) return [next, []];
  return flightAmong(next, rig, edge.arrivedAtNs, (shot) => shot.passages.length === rig.gates.length);
}

/** A block of the reservoir's samples in which the pressure collapses, with nothing else to tell of a firing. */
export function takeReservoirBlock(
  state: PipelineState,
  rig: Rig,
  block: {
    readonly board: string;
    readonly bootId: number;
    readonly ticks: number;
    readonly periodTicks: number;
    readonly periodS: number;
    readonly pressuresPa: readonly number[];
    readonly arrivedAtNs: SessionNs;
  },
): ShotStep {
  const { board, bootId, pressuresPa, arrivedAtNs } = block;
  if (block.periodS * pressuresPa.length > BLOW_DOWN.blockS) return [state, []];
  const highest = Math.max(...pressuresPa);
  const fall = highest - (pressuresPa.at(-1) ?? highest);
  if (fall < BLOW_DOWN.pa || fall < BLOW_DOWN.share * highest) return [state, []];
  const firing: Firing = { by: 'blow-down', board, bootId, ticks: block.ticks + pressuresPa.indexOf(highest) * block.periodTicks };
  const known = state.shots.records.some((record) => Math.abs(secondsBetween(state, rig, record.firing, firing)) < flightWindowS(rig));
  return known ? [state, []] : opened(state, rig, firing, arrivedAtNs, []);
}

/** A burst block arrived: the open shot is not complete yet. */
export function takeBurst(state: PipelineState, arrivedAtNs: SessionNs): PipelineState {
  const records = state.shots.records.map((record) => (record.isOpen ? { ...record, touchedAtNs: arrivedAtNs } : record));
  return { ...state, shots: { ...state.shots, records } };
}

export function passShotTime(state: PipelineState, rig: Rig, atNs: SessionNs): ShotStep {
  const [assigned, events] = state.shots.waiting.length > 0 ? passWaiting(state, rig, atNs) : [state, []];
  return assigned.shots.records
    .filter((record) => record.isOpen && isComplete(assigned, rig, record, atNs))
    .reduce<ShotStep>((step, record) => then(step, (now) => closed(now, rig, record.number, atNs)), [assigned, events]);
}

/**
 * Closes what is open, whatever is still to come, and looks once more for a flight among the waiting edges.
 * @param board  only what is timed by this board, which has begun its ticks anew; undefined: everything
 */
export function finishShots(state: PipelineState, rig: Rig, atNs: SessionNs, board?: string): ShotStep {
  const isConcerned = (named: string) => board === undefined || named === board;
  const found = flightAmong(state, rig, atNs, (shot) => shot.muzzleVelocityMps !== undefined);
  const finished = found[0].shots.records
    .filter((record) => record.isOpen && isConcerned(record.firing.board))
    .reduce<ShotStep>((step, record) => then(step, (now) => closed(now, rig, record.number, atNs, true)), found);
  return then(finished, (now) => [
    { ...now, shots: { ...now.shots, waiting: now.shots.waiting.filter((edge) => !isConcerned(edge.board)) } },
    [],
  ]);
}

function then([state, events]: ShotStep, next: (state: PipelineState) => ShotStep): ShotStep {
  const [after, more] = next(state);
  return [after, [...events, ...more]];
}

const remembered = (state: PipelineState, edge: BoardEdge): PipelineState => ({
  ...state,
  shots: { ...state.shots, waiting: [...state.shots.waiting, edge].slice(-EDGES_MAX) },
});

const isWithin = (seconds: number, longest: number): boolean => seconds >= 0 && seconds <= longest;

/** Back on within a few hundredths of a second of its own release. */
const isBounce = (state: PipelineState, rig: Rig, edge: BoardEdge): boolean =>
  [...state.shots.waiting, ...state.shots.records.flatMap((record) => record.edges)].some(
    (other) => isTrigger(rig, other) && !other.active && isWithin(secondsBetween(state, rig, other, edge), BOUNCE_S),
  );

function opened(before: PipelineState, rig: Rig, firing: Firing, atNs: SessionNs, own: readonly BoardEdge[]): ShotStep {
  const [state, leaving] = withRoom(before, rig, atNs);
  const mine = state.shots.waiting.filter((edge) => !own.includes(edge) && belongs(state, rig, firing, edge));
  const record: ShotRecord = {
    number: state.shots.count + 1,
    firing,
    edges: [...own, ...mine],
    openedAtNs: atNs,
    utc: state.utc,
    touchedAtNs: atNs,
    isOpen: true,
    isCutShort: false,
    measured: false,
    edgesLostBefore: edgesLost(state),
    kept: undefined,
  };
  const waiting = state.shots.waiting.filter((edge) => !mine.includes(edge));
  const records = [...state.shots.records, record];
  const next = { ...state, shots: { ...state.shots, records, count: record.number, waiting } };
  return measuredIfComplete(next, rig, record, [...leaving, shotEvent('opened', describeShot(next, rig, record), atNs)], atNs);
}

/** The eldest shot makes room. Many are open at once where a board's memory is fetched; none leaves without being told. */
function withRoom(state: PipelineState, rig: Rig, atNs: SessionNs): ShotStep {
  const [eldest] = state.shots.records;
  if (!eldest || state.shots.records.length < RECORDS_MAX) return [state, []];
  const step: ShotStep = eldest.isOpen ? closed(state, rig, eldest.number, atNs, !eldest.measured) : [state, []];
  return then(step, (now) => [{ ...now, shots: { ...now.shots, records: now.shots.records.slice(1) } }, []]);
}

function withEdge(state: PipelineState, rig: Rig, record: ShotRecord, edge: BoardEdge): ShotStep {
  const isFiring = edge.active && isTrigger(rig, edge);
  // A release after the shot was closed says nothing new.
  if (!record.isOpen && isTrigger(rig, edge) && !isFiring) return [state, []];
  // The firing signal was fetched late: from now on the shot is timed by it.
  const late = isFiring && record.firing.by !== 'trigger';
  const firing: Firing = late ? { by: 'trigger', board: edge.board, bootId: edge.bootId, ticks: edge.ticks } : record.firing;
  const edges = [...record.edges, edge].slice(0, EDGES_MAX);
  const kept = late ? keptFrom(state, rig, { ...record, firing }, record.firing) : record.kept;
  const changed: ShotRecord = { ...record, firing, edges, kept, touchedAtNs: edge.arrivedAtNs, isOpen: true, isCutShort: false };
  return measuredIfComplete(withRecord(state, changed), rig, changed, [], edge.arrivedAtNs);
}

/** As soon as every gate has been blocked and cleared the numbers go out; the traces follow when the shot is closed. */
function measuredIfComplete(
  state: PipelineState,
  rig: Rig,
  record: ShotRecord,
  events: readonly PipelineEvent[],
  atNs: SessionNs,
): ShotStep {
  if (record.measured || !haveAllGates(record.edges, rig)) return [state, events];
  const shot = describeShot(state, rig, record);
  if (!shot.muzzleVelocityMps) return [state, events];
  return [withRecord(state, { ...record, measured: true }), [...events, shotEvent('measured', shot, atNs)]];
}

/** Every gate has been blocked and cleared. */
function haveAllGates(edges: readonly BoardEdge[], rig: Rig): boolean {
  const has = (board: string, input: number, active: boolean) =>
    edges.some((edge) => edge.board === board && edge.input === input && edge.active === active);
  return rig.gates.every((gate) => has(gate.board, gate.input, true) && has(gate.board, gate.input, false));
}

function closed(state: PipelineState, rig: Rig, number: number, atNs: SessionNs, isCutShort = false): ShotStep {
  const record = state.shots.records.find((candidate) => candidate.number === number);
  if (!record) return [state, []];
  const kept = record.kept ?? surroundingsOf(state, rig, record);
  const done: ShotRecord = { ...record, isOpen: false, isCutShort, kept };
  const [shot, told] = withBlowDown(describeShot(state, rig, done), rig, atNs);
  return [withPast(withRecord(state, done), rig, done), [shotEvent('closed', shot, atNs), ...told]];
}

function withRecord(state: PipelineState, changed: ShotRecord): PipelineState {
  const records = state.shots.records.map((record) => (record.number === changed.number ? changed : record));
  return { ...state, shots: { ...state.shots, records } };
}

/** Nothing that belongs to it can be on its way: time is up, its boards are heard again, and no frame is missing. */
function isComplete(state: PipelineState, rig: Rig, record: ShotRecord, atNs: SessionNs): boolean {
  if (atNs - record.openedAtNs >= CLOSE_NS_MAX) return true;
  if (atNs - record.touchedAtNs < QUIET_NS) return false;
  const names = new Set([...rig.gates.map((gate) => gate.board), record.firing.board]);
  return [...names].every((name) => {
    const board = boardOf(state, name);
    return board?.isLinked === true && board.heardAtNs > record.touchedAtNs && awaitedCount(board.sequence) === 0;
  });
}

/** Edges whose clock has been fitted since find their shot; the eldest that have waited long enough are judged. */
function passWaiting(state: PipelineState, rig: Rig, atNs: SessionNs): ShotStep {
  const placed = state.shots.waiting.filter((edge) => !isTrigger(rig, edge)).map((edge) => [edge, recordFor(state, rig, edge)] as const);
  const found = placed.find(([, record]) => record !== undefined);
  if (found) {
    const [edge, record] = found;
    const rest = { ...state, shots: { ...state.shots, waiting: state.shots.waiting.filter((other) => other !== edge) } };
    return withEdge(rest, rig, record as ShotRecord, edge);
  }
  const [eldest] = state.shots.waiting;
  if (!eldest) return [state, []];
  const clockless = gateBoards(rig).length > 1 && boardOf(state, eldest.board)?.clock === undefined;
  if (atNs - eldest.arrivedAtNs < (clockless ? CLOCK_WAIT_NS : TRIGGER_WAIT_NS)) return [state, []];
  const [next, events] = flightAmong(state, rig, atNs, (shot) => shot.muzzleVelocityMps !== undefined);
  return next === state ? dismissed(state, rig, eldest, atNs) : [next, events];
}

/** Opens a shot from waiting edges alone, timed by the flight's first edge, where they hold a flight. */
function flightAmong(state: PipelineState, rig: Rig, atNs: SessionNs, isEnough: (shot: Shot) => boolean): ShotStep {
  const eldest = state.shots.waiting.find((edge) => edge.active && isGate(rig, edge));
  if (!eldest) return [state, []];
  const firing: Firing = { by: 'first edge', board: eldest.board, bootId: eldest.bootId, ticks: eldest.ticks };
  const trial: ShotRecord = {
    number: state.shots.count + 1,
    firing,
    edges: state.shots.waiting.filter((edge) => belongs(state, rig, firing, edge)),
    openedAtNs: atNs,
    utc: state.utc,
    touchedAtNs: atNs,
    isOpen: true,
    isCutShort: false,
    measured: false,
    edgesLostBefore: 0,
    kept: undefined,
  };
  const shot = describeShot(state, rig, trial);
  if (!shot.muzzleVelocityMps || !isEnough(shot)) return [state, []];
  const first = shot.edges.find((edge) => edge.verdict === 'used' && edge.gate !== 'trigger');
  const leading = first && trial.edges.find((edge) => edge.ticks === first.ticks);
  const at = leading ?? eldest;
  return opened(state, rig, { by: 'first edge', board: at.board, bootId: at.bootId, ticks: at.ticks }, atNs, []);
}

/** The eldest edge starts no flight: it and what came with it in half a flight's time are let go, and told. */
function dismissed(state: PipelineState, rig: Rig, eldest: BoardEdge, atNs: SessionNs): ShotStep {
  const goes = (edge: BoardEdge) => edge === eldest || Math.abs(secondsBetween(state, rig, eldest, edge)) < flightWindowS(rig) / 2;
  const gone = state.shots.waiting.filter(goes);
  const waiting = state.shots.waiting.filter((edge) => !goes(edge));
  const names = rig.gates
    .filter((gate) => gone.some((edge) => edge.board === gate.board && edge.input === gate.input))
    .map((gate) => gate.name);
  const next = { ...state, shots: { ...state.shots, waiting } };
  if (names.length === 0) return [next, []];
  const text = `Edges at ${names.join(', ')} with no firing signal and no flight in them: not taken for a shot.`;
  return [next, [{ type: 'note', atNs, text }]];
}

const shotEvent = (phase: 'opened' | 'measured' | 'closed', shot: Shot, atNs: SessionNs): PipelineEvent => ({
  type: 'shot',
  phase,
  atNs,
  shot,
});
