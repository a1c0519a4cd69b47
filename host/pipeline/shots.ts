/**
 * Shot assembly: which edges and samples make one shot, and when it is complete. Works in the boards' own ticks, so an
 * edge that is fetched after the cable was out falls into its place; only waiting and closing go by record time.
 */
import type { PipelineEvent, SessionNs, Shot } from '../../protocol/index.ts';
import type { Rig } from '../rig/index.ts';
import { awaitedCount } from './sequence.ts';
import { describeShot } from './shot-report.ts';
import type { BoardEdge, OpenShot, PipelineState } from './state.ts';
import { secondsBetween } from './time.ts';

/** Edges from so long before the firing signal belong to the shot (they are rejected, with the reason)… */
const BEFORE_FIRING_S = 0.05;
/** …and until so long after it; a ball at 20 m/s has passed 11 m by then. */
const AFTER_FIRING_S = 1;
/** A gate edge waits so long for the trigger's edge, which may have to be fetched again. */
const TRIGGER_WAIT_NS = 400e6;
/** A shot is complete when nothing that belongs to it has come for so long and no frame is awaited… */
const QUIET_NS = 500e6;
/** …or after this, whatever is still awaited. */
const CLOSE_NS_MAX = 10e9;
const EDGES_MAX = 512;
/** Reservoir's fall within one block of samples that only a firing makes: 8 %, and 50 kPa. */
const BLOW_DOWN = { share: 0.08, pa: 50e3 };

export function takeEdge(state: PipelineState, rig: Rig, edge: BoardEdge): readonly [PipelineState, readonly PipelineEvent[]] {
  const { open } = state.shots;
  const isTrigger = rig.trigger?.board === edge.board && rig.trigger.input === edge.input;
  const isGate = rig.gates.some((gate) => gate.board === edge.board && gate.input === edge.input);
  if (!isTrigger && !isGate) return [state, []];
  if (open && belongs(state, rig, open, edge)) return withEdge(state, rig, open, edge);
  if (isTrigger && edge.active) return opened(state, rig, 'trigger', edge);
  if (isGate && !rig.trigger && edge.active) return opened(state, rig, 'first edge', edge);
  // A trigger's release, or an edge after the shot was closed, starts nothing.
  if (isTrigger || isAfterEffect(state, rig, edge)) return [state, []];
  const waiting = [...state.shots.waiting, edge].slice(-EDGES_MAX);
  return [{ ...state, shots: { ...state.shots, waiting } }, []];
}

/** A block of the reservoir's samples in which the pressure collapses, with nothing else to tell of a firing. */
export function takeReservoirBlock(
  state: PipelineState,
  rig: Rig,
  block: {
    readonly board: string;
    readonly ticks: number;
    readonly periodTicks: number;
    readonly pressuresPa: readonly number[];
    readonly arrivedAtNs: SessionNs;
  },
): readonly [PipelineState, readonly PipelineEvent[]] {
  const { open, lastFired } = state.shots;
  if (open) return [state, []];
  const highest = Math.max(...block.pressuresPa);
  const fall = highest - (block.pressuresPa.at(-1) ?? highest);
  if (fall < BLOW_DOWN.pa || fall < BLOW_DOWN.share * highest) return [state, []];
  const ticks = block.ticks + block.pressuresPa.indexOf(highest) * block.periodTicks;
  if (lastFired && secondsBetween(state, rig, lastFired, { board: block.board, ticks }) < AFTER_FIRING_S) return [state, []];
  return opened(state, rig, 'blow-down', { board: block.board, input: -1, active: true, ticks, arrivedAtNs: block.arrivedAtNs });
}

/** A burst block arrived: the open shot is not complete yet. */
export function takeBurst(state: PipelineState, arrivedAtNs: SessionNs): PipelineState {
  const { open } = state.shots;
  return open ? { ...state, shots: { ...state.shots, open: { ...open, touchedAtNs: arrivedAtNs } } } : state;
}

export function passShotTime(state: PipelineState, rig: Rig, atNs: SessionNs): readonly [PipelineState, readonly PipelineEvent[]] {
  const { open, waiting } = state.shots;
  if (!open) {
    const eldest = waiting[0];
    if (!eldest || atNs - eldest.arrivedAtNs < TRIGGER_WAIT_NS) return [state, []];
    const leading = waiting.find((edge) => edge.active);
    return leading ? opened(state, rig, 'first edge', leading) : [{ ...state, shots: { ...state.shots, waiting: [] } }, []];
  }
  const board = state.boards[open.board];
  const settled = atNs - open.touchedAtNs >= QUIET_NS && (!board || awaitedCount(board.sequence) === 0);
  if (!settled && atNs - open.openedAtNs < CLOSE_NS_MAX) return [state, []];
  return closed(state, rig, open, atNs);
}

/** Closes the open shot, whatever is still to come, and forgets what no later tick can be held against. */
export function finishShots(state: PipelineState, rig: Rig, atNs: SessionNs): readonly [PipelineState, readonly PipelineEvent[]] {
  const { open } = state.shots;
  const [next, events] = open ? closed(state, rig, open, atNs) : [state, []];
  return [{ ...next, shots: { ...next.shots, waiting: [], lastFired: undefined } }, events];
}

function opened(
  before: PipelineState,
  rig: Rig,
  firedBy: OpenShot['firedBy'],
  edge: BoardEdge,
): readonly [PipelineState, readonly PipelineEvent[]] {
  const [state, closing] = before.shots.open ? closed(before, rig, before.shots.open, edge.arrivedAtNs) : [before, []];
  const blank: OpenShot = {
    number: state.shots.closedCount + 1,
    firedBy,
    board: edge.board,
    firedTicks: edge.ticks,
    openedAtNs: edge.arrivedAtNs,
    edges: [],
    touchedAtNs: edge.arrivedAtNs,
    measured: false,
    edgesLostBefore: state.boards[edge.board]?.edgesLost ?? 0,
  };
  const mine = state.shots.waiting.filter((other) => belongs(state, rig, blank, other));
  const own = edge.input < 0 || mine.includes(edge) ? [] : [edge];
  const open = { ...blank, edges: [...own, ...mine] };
  const next = { ...state, shots: { ...state.shots, open, waiting: [], lastFired: { board: edge.board, ticks: edge.ticks } } };
  const shot = describeShot(next, rig, open);
  return measuredIfComplete(next, rig, open, [...closing, shotEvent('opened', shot, edge.arrivedAtNs)], edge.arrivedAtNs);
}

function withEdge(state: PipelineState, rig: Rig, open: OpenShot, edge: BoardEdge): readonly [PipelineState, readonly PipelineEvent[]] {
  const isFiring = edge.active && rig.trigger?.board === edge.board && rig.trigger.input === edge.input;
  // The firing signal was fetched late: from now on the shot is timed by it.
  const anchor = isFiring && open.firedBy !== 'trigger' ? ({ firedBy: 'trigger', board: edge.board, firedTicks: edge.ticks } as const) : {};
  const next: OpenShot = { ...open, ...anchor, edges: [...open.edges, edge].slice(0, EDGES_MAX), touchedAtNs: edge.arrivedAtNs };
  const lastFired = { board: next.board, ticks: next.firedTicks };
  return measuredIfComplete({ ...state, shots: { ...state.shots, open: next, lastFired } }, rig, next, [], edge.arrivedAtNs);
}

/** As soon as every gate has been blocked and cleared the numbers go out; the traces follow when the shot is closed. */
function measuredIfComplete(
  state: PipelineState,
  rig: Rig,
  open: OpenShot,
  events: readonly PipelineEvent[],
  atNs: SessionNs,
): readonly [PipelineState, readonly PipelineEvent[]] {
  const has = (board: string, input: number, active: boolean) =>
    open.edges.some((edge) => edge.board === board && edge.input === input && edge.active === active);
  const complete = rig.gates.every((gate) => has(gate.board, gate.input, true) && has(gate.board, gate.input, false));
  if (open.measured || !complete) return [state, events];
  const shot = describeShot(state, rig, open);
  if (!shot.muzzleVelocityMps) return [state, events];
  const next = { ...state, shots: { ...state.shots, open: { ...open, measured: true } } };
  return [next, [...events, shotEvent('measured', shot, atNs)]];
}

function closed(state: PipelineState, rig: Rig, open: OpenShot, atNs: SessionNs): readonly [PipelineState, readonly PipelineEvent[]] {
  const shot = describeShot(state, rig, open);
  const isShot = open.firedBy !== 'first edge' || shot.muzzleVelocityMps !== undefined;
  const shots = { ...state.shots, open: undefined, closedCount: isShot ? open.number : state.shots.closedCount };
  const next = { ...state, shots };
  if (isShot) return [next, [shotEvent('closed', shot, atNs)]];
  const gates = [...new Set(shot.edges.map((edge) => edge.gate))].join(', ');
  const text = `Edges at ${gates} with no firing signal and no flight in them: not taken for a shot.`;
  return [next, [{ type: 'note', atNs, text, shotId: shot.id }]];
}

const shotEvent = (phase: 'opened' | 'measured' | 'closed', shot: Shot, atNs: SessionNs): PipelineEvent => ({
  type: 'shot',
  phase,
  atNs,
  shot,
});

function belongs(state: PipelineState, rig: Rig, open: OpenShot, edge: BoardEdge): boolean {
  const since = secondsBetween(state, rig, { board: open.board, ticks: open.firedTicks }, edge);
  return since >= -BEFORE_FIRING_S && since <= AFTER_FIRING_S;
}

function isAfterEffect(state: PipelineState, rig: Rig, edge: BoardEdge): boolean {
  const { lastFired } = state.shots;
  if (!lastFired) return false;
  const since = secondsBetween(state, rig, lastFired, edge);
  return since >= 0 && since <= AFTER_FIRING_S;
}
