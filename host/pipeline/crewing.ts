/** The crew's place in the pipeline: what their acts change beside their own state, and the events and time they are told of. */
import type { OperatorRecord, PipelineEvent, SessionNs } from '../../protocol/index.ts';
import { type CrewState, crewContext, keepAdjustments, takeAct, takeEvents } from './crew/index.ts';
import type { PipelineState } from './state.ts';
import { acknowledge } from './watches/index.ts';
import { weigh } from './weighing.ts';

type Step = readonly [PipelineState, readonly PipelineEvent[]];

/** Before there is a rig file nobody can say what an act is about. */
export function takeCrewAct(state: PipelineState, { atNs, value }: OperatorRecord): Step {
  if (!state.rig) return [state, [{ type: 'act-refused', atNs, act: value.act, why: 'the session has no rig file yet; wait for it' }]];
  if (value.act === 'weigh') return weigh(state, value, atNs);
  const [crew, events] = takeAct(state.crew, crewContext(state, state.rig, atNs), value, atNs);
  const next = withCrew(state, crew);
  const isRefused = events.some(({ type }) => type === 'act-refused');
  if (value.act !== 'acknowledge' || isRefused || !next.watchSetup) return [next, events];
  const { limitId, who } = value;
  const [watches, told] = acknowledge(next.watches, next.watchSetup, { limitId, who, atNs });
  return [{ ...next, watches }, [...events, ...told]];
}

/**
 * Tells the crew of a step's events; whatever follows comes behind them.
 * @param before  the state that the step began with
 */
export function thenCrew(before: PipelineState, [state, events]: Step, atNs: SessionNs): Step {
  const { rig } = state;
  if (!rig) return [state, events];
  const kept = before.rig === rig ? state.crew : keepAdjustments(state.crew, before.rig, rig);
  const [crew, told] = takeEvents(kept, crewContext(state, rig, atNs), events, atNs);
  return [withCrew(state, crew), told.length === 0 ? events : [...events, ...told]];
}

const withCrew = (state: PipelineState, crew: CrewState): PipelineState => (crew === state.crew ? state : { ...state, crew });
