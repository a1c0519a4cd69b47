import type { CrewEvent, NoteEvent, OperatorAct, SessionNs } from '../../../protocol/index.ts';
import type { CrewState } from './state.ts';

export type CrewStep = readonly [CrewState, readonly CrewEvent[]];
export type ActStep = readonly [CrewState, readonly (CrewEvent | NoteEvent)[]];

/** @param why  one plain sentence without its full stop: what, and what to do */
export const refused = (state: CrewState, { act }: Pick<OperatorAct, 'act'>, why: string, atNs: SessionNs): ActStep => [
  state,
  [{ type: 'act-refused', atNs, act, why }],
];
