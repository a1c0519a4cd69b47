/**
 * Hold points: what has to be done before a firing, in the rig file's order. The crew tick theirs with their names; the
 * program ticks its own for as long as their condition holds, and takes the tick back when it does not. The list tells
 * people what is missing; it is no interlock, and nothing waits for it.
 */
import type { HoldPointState, HoldPointSummary, HoldPointsEvent, SessionNs } from '../../../protocol/index.ts';
import { FACTS, type Fact, type Facts } from './facts.ts';

export interface HoldPointsState {
  readonly points: readonly HoldPointState[];
}

export const NO_HOLD_POINTS: HoldPointsState = { points: [] };

export type HoldPointsStep = readonly [HoldPointsState, readonly HoldPointsEvent[]];

/** The rig file's list; points that were there before keep their state. */
export function listHoldPoints(before: HoldPointsState, setup: readonly HoldPointSummary[], atNs: SessionNs): HoldPointsStep {
  const points = setup.map((point): HoldPointState => {
    const known = before.points.find((candidate) => candidate.id === point.id && candidate.by === point.by);
    const fresh = { done: false, sinceNs: atNs, who: '', detail: '' };
    return { ...(known ?? fresh), id: point.id, name: point.name, by: point.by };
  });
  return changed({ points }, atNs);
}

/** @returns undefined where the crew have no such point to tick */
export function tick(
  before: HoldPointsState,
  act: { readonly holdPointId: string; readonly done: boolean; readonly who: string },
  atNs: SessionNs,
): HoldPointsStep | undefined {
  const point = before.points.find(({ id, by }) => id === act.holdPointId && by === 'crew');
  if (!point) return undefined;
  if (point.done === act.done) return [before, []];
  const ticked = { ...point, done: act.done, sinceNs: atNs, who: act.who };
  return changed({ points: before.points.map((other) => (other === point ? ticked : other)) }, atNs);
}

/** Conditions follow the facts; nothing is told where nothing changed. */
export function followFacts(before: HoldPointsState, setup: readonly HoldPointSummary[], facts: Facts, atNs: SessionNs): HoldPointsStep {
  const found = new Map<string, Fact>();
  for (const point of setup) if (point.by === 'condition') found.set(point.id, FACTS[point.when](facts));
  const points = before.points.map((point) => {
    const fact = found.get(point.id);
    if (!fact || (fact.holds === point.done && fact.detail === point.detail)) return point;
    return { ...point, done: fact.holds, detail: fact.detail, sinceNs: fact.holds === point.done ? point.sinceNs : atNs };
  });
  return points.every((point, i) => point === before.points[i]) ? [before, []] : changed({ points }, atNs);
}

/** A shot was fired: for the next one everything that persons do is to be done again. */
export function startOver(before: HoldPointsState, atNs: SessionNs): HoldPointsStep {
  if (!before.points.some(({ by, done }) => by === 'crew' && done)) return [before, []];
  const points = before.points.map((point) =>
    point.by === 'crew' && point.done ? { ...point, done: false, sinceNs: atNs, who: '' } : point,
  );
  return changed({ points }, atNs);
}

function changed(state: HoldPointsState, atNs: SessionNs): HoldPointsStep {
  if (state.points.length === 0) return [state, []];
  return [state, [{ type: 'hold-points', atNs, ready: state.points.every(({ done }) => done), points: state.points }]];
}
