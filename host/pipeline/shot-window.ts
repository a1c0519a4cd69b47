/** Which edge may belong to which firing. */
import type { Rig } from '../rig/index.ts';
import type { BoardEdge, Firing, PipelineState, ShotRecord } from './state.ts';
import { secondsBetween } from './time.ts';

/** No ball is measured below this, m/s; in the barrel it takes twice as long as at its final speed. */
const SLOWEST_MPS = 20;
/** Gate edges from so long before the firing signal are kept with the shot (and rejected, with the reason). */
const BEFORE_FIRING_S = 0.05;

/** So long after the firing signal the slowest ball has reached the target. */
export const flightWindowS = (rig: Rig): number => (2 * rig.barrel.lengthM + rig.targetPositionM.value) / SLOWEST_MPS;

export const isTrigger = (rig: Rig, edge: BoardEdge): boolean => rig.trigger?.board === edge.board && rig.trigger.input === edge.input;

export const isGate = (rig: Rig, edge: BoardEdge): boolean =>
  rig.gates.some((gate) => gate.board === edge.board && gate.input === edge.input);

export function belongs(state: PipelineState, rig: Rig, firing: Firing, edge: BoardEdge): boolean {
  const since = secondsBetween(state, rig, firing, edge);
  const window = flightWindowS(rig);
  // A shot that gates or blow-down opened was fired before them: its firing signal may still be on the way.
  const before = firing.by !== 'trigger' && isTrigger(rig, edge) ? window : BEFORE_FIRING_S;
  return since >= -before && since <= window;
}

/** The shot that an edge belongs to: of several, the one fired last before it. */
export function recordFor(state: PipelineState, rig: Rig, edge: BoardEdge): ShotRecord | undefined {
  const fitting = state.shots.records.filter((record) => belongs(state, rig, record.firing, edge));
  const distance = (record: ShotRecord) => Math.abs(secondsBetween(state, rig, record.firing, edge));
  return fitting.sort((a, b) => distance(a) - distance(b))[0];
}
