/**
 * What the pipeline said of a record, folded in: the facts that conditions are judged by, shots, and the passing of
 * time. Called once a record with all its events; where none of them matters and nothing is due, the state stays itself.
 */
import type { CrewEvent, PipelineEvent, SessionEvent, SessionNs, Shot } from '../../../protocol/index.ts';
import type { Rig } from '../../rig/index.ts';
import type { CrewContext } from './context.ts';
import { withEvent } from './facts.ts';
import { takeTicksBack } from './hold-point-acts.ts';
import { judgeConditions, tellHoldPoints } from './hold-points.ts';
import { type CrewState, SHOTS_MAX } from './state.ts';
import type { CrewStep } from './step.ts';
import { impactsEvent } from './target.ts';
import { watchOffsets } from './watch-offsets.ts';

/** Weather grows old, and a condition's second passes, without an event. */
const JUDGE_EVERY_NS = 0.25e9;

export function takeEvents(state: CrewState, context: CrewContext, events: readonly PipelineEvent[], atNs: SessionNs): CrewStep {
  const told: CrewEvent[] = [];
  let next = state;
  let isNews = false;
  for (const event of events) {
    const before = next;
    if (event.type === 'session') next = takeSession(next, event);
    else if (event.type === 'shot') {
      const [after, more] = takeShot(next, event.shot, atNs);
      next = after;
      told.push(...more);
    } else {
      const facts = withEvent(next.facts, event);
      if (facts !== next.facts) next = { ...next, facts };
      // Samples come a hundred times a second and only make the air fresher.
      if (event.type === 'samples') continue;
    }
    isNews ||= next !== before;
  }
  if (!isNews && atNs - next.judgedAtNs < JUDGE_EVERY_NS) return [next, told];
  const [listed, list] = tellHoldPoints(judgeConditions(next, context.rig, atNs), context.rig, atNs);
  const [looked, offsets] = watchOffsets(listed, context, atNs);
  return [looked, [...told, ...list, ...offsets]];
}

/** A session begins, or goes on under another rig file: what was seen by the old one is seen anew. */
function takeSession(state: CrewState, { atNs }: SessionEvent): CrewState {
  return { ...state, facts: { ...state.facts, fill: undefined, vacuum: undefined }, conditions: {}, offsets: {}, listedAtNs: atNs };
}

/**
 * Under a corrected rig file an adjustment stands where its channel is converted as before; where it is not, what was
 * adjusted is gone.
 */
export function keepAdjustments(state: CrewState, before: Rig | undefined, rig: Rig): CrewState {
  const conversionOf = (of: Rig | undefined, name: string): string =>
    JSON.stringify(of?.channels.find((each) => each.name === name)?.conversion);
  const stays = ([name]: readonly [string, unknown]): boolean =>
    before === undefined ||
    (rig.channels.some((channel) => channel.name === name) && conversionOf(before, name) === conversionOf(rig, name));
  const kept = <T>(record: Readonly<Record<string, T>>): Readonly<Record<string, T>> =>
    Object.fromEntries(Object.entries(record).filter(stays));
  return { ...state, adjustments: kept(state.adjustments), calibrated: kept(state.calibrated) };
}

function takeShot(state: CrewState, { id, number, firedAtNs, targetDropM }: Shot, atNs: SessionNs): CrewStep {
  const dropM = targetDropM?.value;
  const known = state.shots.find((shot) => shot.id === id);
  if (!known) {
    const shots = [...state.shots, { id, firedAtNs, dropM, excluded: false }].slice(-SHOTS_MAX);
    return [takeTicksBack({ ...state, shots }, { number, firedAtNs }, atNs), []];
  }
  if (known.dropM === dropM && known.firedAtNs === firedAtNs) return [state, []];
  const shots = state.shots.map((shot) => (shot === known ? { ...known, dropM, firedAtNs } : shot));
  const next = { ...state, shots };
  return [next, state.struck.some(({ shotId }) => shotId === id) ? [impactsEvent(next, atNs)] : []];
}
