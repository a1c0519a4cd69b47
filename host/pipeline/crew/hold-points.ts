/**
 * The list of hold points: what the crew have ticked and what the rig sees, in the rig file's order, told whole at each
 * change. It is read by people; nothing acts on it.
 *
 * A condition is un-ticked on the very event that breaks it, and ticked when it has held for a second; a pressure leaves
 * its band a little further out than it came in. A reading at an edge does not make the list flicker.
 */
import type { HoldCondition, HoldPointState, HoldPointSummary, SessionNs } from '../../../protocol/index.ts';
import type { Rig } from '../../rig/index.ts';
import { judge } from './conditions.ts';
import { type ConditionState, type CrewState, own } from './state.ts';
import type { CrewStep } from './step.ts';

const HELD_NS = 1e9;

export function judgeConditions(state: CrewState, rig: Rig, atNs: SessionNs): CrewState {
  const named = new Set(rig.holdPoints.flatMap((point) => (point.by === 'condition' ? [point.when] : [])));
  let { conditions } = state;
  for (const condition of named) {
    const before = conditions[condition];
    const after = judgeOne(before, condition, state, rig, atNs);
    if (after !== before) conditions = { ...conditions, [condition]: after };
  }
  return { ...state, conditions, judgedAtNs: atNs };
}

function judgeOne(
  before: ConditionState | undefined,
  condition: HoldCondition,
  { facts, listedAtNs }: CrewState,
  rig: Rig,
  atNs: SessionNs,
): ConditionState {
  const { holds, detail } = judge(condition, rig, facts, atNs, before?.done === true);
  if (holds && before?.done) return before.detail === detail ? before : { ...before, detail };
  const holdsSinceNs = holds ? (before?.holdsSinceNs ?? atNs) : undefined;
  if (holdsSinceNs !== undefined && atNs - holdsSinceNs >= HELD_NS) return { done: true, sinceNs: atNs, detail, holdsSinceNs: undefined };
  const sinceNs = before?.done ? atNs : (before?.sinceNs ?? listedAtNs);
  // While it waits for its second, what was missing last is no longer true.
  const shown = holds ? 'holds, and is watched for a moment' : detail;
  const isSame = before && !before.done && before.detail === shown && before.holdsSinceNs === holdsSinceNs;
  return isSame ? before : { done: false, sinceNs, detail: shown, holdsSinceNs };
}

/** The list where it is another than was told last; nothing where the rig file names no hold points. */
export function tellHoldPoints(state: CrewState, rig: Rig, atNs: SessionNs): CrewStep {
  if (rig.holdPoints.length === 0) return [state.told ? { ...state, told: undefined } : state, []];
  const points = rig.holdPoints.map((point) => pointState(state, point));
  const before = state.told?.points;
  if (before && before.length === points.length && points.every((point, i) => isSame(point, before[i]))) return [state, []];
  const told = { type: 'hold-points', atNs, ready: points.every(({ done }) => done), points } as const;
  return [{ ...state, told }, [told]];
}

function pointState({ ticks, conditions, listedAtNs }: CrewState, point: HoldPointSummary): HoldPointState {
  const { id, name, by } = point;
  if (by === 'condition') {
    const { done, sinceNs, detail } = conditions[point.when] ?? { done: false, sinceNs: listedAtNs, detail: 'not looked at yet' };
    return { id, name, by, done, sinceNs, who: '', detail };
  }
  const tick = own(ticks, id);
  if (tick?.name !== name) return { id, name, by, done: false, sinceNs: listedAtNs, who: '', detail: '' };
  return { id, name, by, done: tick.done, sinceNs: tick.atNs, who: tick.who, detail: tick.detail };
}

const isSame = (a: HoldPointState, b: HoldPointState | undefined): boolean =>
  b !== undefined &&
  a.id === b.id &&
  a.name === b.name &&
  a.done === b.done &&
  a.sinceNs === b.sinceNs &&
  a.who === b.who &&
  a.detail === b.detail;
