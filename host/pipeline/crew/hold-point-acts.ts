import type { OperatorAct, SessionNs } from '../../../protocol/index.ts';
import type { Rig } from '../../rig/index.ts';
import { tellHoldPoints } from './hold-points.ts';
import { noSuch } from './no-such.ts';
import { type CrewState, own } from './state.ts';
import { type ActStep, refused } from './step.ts';

/** Ticking what is ticked changes nothing: the list keeps who was first. */
export function takeTick(state: CrewState, rig: Rig, act: Extract<OperatorAct, { act: 'hold-point' }>, atNs: SessionNs): ActStep {
  const point = rig.holdPoints.find(({ id }) => id === act.holdPointId);
  if (!point) {
    const ids = rig.holdPoints.map(({ id }) => id);
    return refused(state, act, noSuch('hold point', act.holdPointId, ids), atNs);
  }
  if (point.by === 'condition') {
    return refused(
      state,
      act,
      `"${point.name}" is seen by the rig itself and cannot be ticked by hand; its line says what is missing`,
      atNs,
    );
  }
  const { name } = point;
  const before = own(state.ticks, point.id);
  if ((before?.name === name && before.done) === act.done) return [state, []];
  const tick = { name, done: act.done, atNs, who: act.who, detail: act.done ? '' : 'taken back' };
  return tellHoldPoints({ ...state, ticks: { ...state.ticks, [point.id]: tick } }, rig, atNs);
}

/** Every shot starts from an unticked list. What was ticked after the firing, while the shot was still on its way here, stays. */
export function takeTicksBack(
  state: CrewState,
  shot: { readonly number: number; readonly firedAtNs: SessionNs },
  atNs: SessionNs,
): CrewState {
  const goes = Object.entries(state.ticks).filter(([, tick]) => tick.done && tick.atNs <= shot.firedAtNs);
  if (goes.length === 0) return state;
  const detail = `taken back when shot ${shot.number} was fired`;
  const back = Object.fromEntries(goes.map(([id, tick]) => [id, { ...tick, done: false, atNs, who: '', detail }]));
  return { ...state, ticks: { ...state.ticks, ...back } };
}
