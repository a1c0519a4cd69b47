/** The crew's acts and what follows from them, as a fold beside the watches. */
import type {
  Adjustment,
  CrewEvent,
  FillEvent,
  LinkChange,
  OperatorAct,
  PipelineEvent,
  SessionNs,
  VacuumEvent,
  WeatherEvent,
} from '../../../protocol/index.ts';
import type { Rig } from '../../rig/index.ts';
import type { Facts } from './facts.ts';
import { followFacts, type HoldPointsState, listHoldPoints, NO_HOLD_POINTS, startOver, tick } from './hold-points.ts';
import { type ImpactsState, impactsEvent, NO_IMPACTS, takeAim, takeImpact } from './impacts.ts';

export interface CrewState {
  readonly holdPoints: HoldPointsState;
  readonly impacts: ImpactsState;
  /** By channel. */
  readonly adjustments: Readonly<Record<string, Adjustment>>;
  /** Of the shots so far, by id: drop at the target, NaN where there is none. At most DROPS_MAX. */
  readonly drops: ReadonlyMap<string, number>;
  /** The newest of each, for the conditions. */
  readonly fill: FillEvent | undefined;
  readonly vacuum: VacuumEvent | undefined;
  readonly weather: WeatherEvent | undefined;
  readonly links: Readonly<Record<string, LinkChange>>;
  /** By board: inputs that are active now. */
  readonly inputs: Readonly<Record<string, number>>;
}

export const NEW_CREW: CrewState = {
  holdPoints: NO_HOLD_POINTS,
  impacts: NO_IMPACTS,
  adjustments: {},
  drops: new Map(),
  fill: undefined,
  vacuum: undefined,
  weather: undefined,
  links: {},
  inputs: {},
};

export type CrewStep = readonly [CrewState, readonly CrewEvent[]];

const DROPS_MAX = 500;
const UNADJUSTED: Adjustment = { gain: 1, offsetSi: 0 };

/** Notes and acknowledgements are for others; every other act is done or refused with a sentence. */
export function takeAct(state: CrewState, rig: Rig, act: OperatorAct, atNs: SessionNs): CrewStep {
  const refused = (why: string): CrewStep => [state, [{ type: 'act-refused', atNs, act: act.act, why }]];
  switch (act.act) {
    case 'note':
    case 'acknowledge':
      return [state, []];
    case 'hold-point': {
      const step = tick(state.holdPoints, act, atNs);
      if (!step) return refused(`there is no hold point "${act.holdPointId}" for the crew to tick; the rig file's list has their names`);
      return [{ ...state, holdPoints: step[0] }, step[1]];
    }
    case 'zero':
    case 'calibrate': {
      const { channel, before, after, who } = act;
      if (!rig.channels.some(({ name }) => name === channel)) return refused(`the rig file has no channel "${channel}"`);
      const present = Object.hasOwn(state.adjustments, channel) ? state.adjustments[channel] : undefined;
      if (!isSame(present ?? UNADJUSTED, before))
        return refused(`channel ${channel} has been adjusted in the meantime; look at what it reads now and do it again`);
      if (!(after.gain > 0 && Number.isFinite(after.gain) && Number.isFinite(after.offsetSi)))
        return refused(`the new adjustment of channel ${channel} is no number`);
      const adjustments = { ...state.adjustments, [channel]: after };
      return [{ ...state, adjustments }, [{ type: 'adjusted', atNs, channel, act: act.act, before, after, who }]];
    }
    case 'aim': {
      const impacts = takeAim(state.impacts, act.at);
      return [{ ...state, impacts }, [impactsEvent(impacts, atNs)]];
    }
    case 'impact': {
      const dropM = state.drops.get(act.shotId);
      if (dropM === undefined) return refused(`this session has no shot ${act.shotId}; postern shots lists them`);
      const impacts = takeImpact(state.impacts, { shotId: act.shotId, at: act.at, ...(Number.isFinite(dropM) ? { dropM } : {}) });
      return [{ ...state, impacts }, [impactsEvent(impacts, atNs)]];
    }
    case 'exclude': {
      const { shotId, excluded, reason, who } = act;
      if (!state.drops.has(shotId)) return refused(`this session has no shot ${shotId}; postern shots lists them`);
      return [state, [{ type: 'shot-excluded', atNs, shotId, excluded, reason, who }]];
    }
  }
}

const isSame = (a: Adjustment, b: Adjustment): boolean => a.gain === b.gain && a.offsetSi === b.offsetSi;

/** What the rest of the pipeline has just said, as far as hold points and impacts go by it. */
export function followEvents(before: CrewState, rig: Rig, events: readonly PipelineEvent[], atNs: SessionNs): CrewStep {
  const told: CrewEvent[] = [];
  let state = before;
  let hasNews = false;
  for (const event of events) {
    const next = withNews(state, event);
    hasNews ||= next !== state;
    state = next;
    if (event.type === 'session') {
      const [holdPoints, list] = listHoldPoints(state.holdPoints, rig.holdPoints, atNs);
      state = { ...state, holdPoints };
      told.push(...list);
      hasNews = true;
    }
    if (event.type === 'shot' && event.phase === 'opened') {
      const [holdPoints, list] = startOver(state.holdPoints, atNs);
      state = { ...state, holdPoints };
      told.push(...list);
    }
  }
  if (!hasNews || rig.holdPoints.length === 0) return [state, told];
  const [holdPoints, list] = followFacts(state.holdPoints, rig.holdPoints, factsOf(state, rig), atNs);
  return [{ ...state, holdPoints }, [...told, ...list]];
}

/** @returns the state itself where the event is no news */
function withNews(state: CrewState, event: PipelineEvent): CrewState {
  switch (event.type) {
    case 'fill':
      return { ...state, fill: event };
    case 'vacuum':
      return { ...state, vacuum: event };
    case 'weather':
      return { ...state, weather: event };
    case 'link':
      return { ...state, links: { ...state.links, [event.source]: event.change } };
    case 'inputs':
      return state.inputs[event.source] === event.active ? state : { ...state, inputs: { ...state.inputs, [event.source]: event.active } };
    case 'shot': {
      if (event.phase !== 'closed') return state;
      const drops = new Map(state.drops).set(event.shot.id, event.shot.targetDropM?.value ?? Number.NaN);
      const [eldest] = drops.keys();
      if (drops.size > DROPS_MAX && eldest !== undefined) drops.delete(eldest);
      return { ...state, drops };
    }
    default:
      return state;
  }
}

function factsOf({ fill, vacuum, weather, links, inputs }: CrewState, rig: Rig): Facts {
  const isBlocked = (board: string, input: number): boolean => ((inputs[board] ?? 0) & (1 << input)) !== 0;
  return {
    fill,
    vacuum,
    weather,
    links: Object.fromEntries(rig.boards.map(({ name }) => [name, links[name]])),
    blockedGates: rig.gates.filter(({ board, input }) => isBlocked(board, input)).map(({ name }) => name),
    inputsKnown: rig.gates.every(({ board }) => Object.hasOwn(inputs, board)),
  };
}
