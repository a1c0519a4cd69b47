import type { OperatorAct, SessionNs, TargetPoint } from '../../../protocol/index.ts';
import type { CrewContext } from './context.ts';
import { AIMS_MAX, type CrewState, IMPACTS_MAX } from './state.ts';
import { type ActStep, refused } from './step.ts';
import { impactsEvent } from './target.ts';

/** Further from the point that is to be hit is a slipped unit. */
const AWAY_M_MAX = 100;

export function takeAim(state: CrewState, act: Extract<OperatorAct, { act: 'aim' }>, atNs: SessionNs): ActStep {
  if (!isNear(act.at)) return refused(state, act, tooFar('the aim'), atNs);
  const next = { ...state, aims: [...state.aims, { atNs, at: act.at }].slice(-AIMS_MAX) };
  return [next, [impactsEvent(next, atNs)]];
}

/** Told again, an impact takes the place of what was told before. */
export function takeImpact(state: CrewState, act: Extract<OperatorAct, { act: 'impact' }>, atNs: SessionNs): ActStep {
  if (!hasShot(state, act.shotId)) return refused(state, act, noShot(act.shotId), atNs);
  if (!isNear(act.at)) return refused(state, act, tooFar('the impact'), atNs);
  const others = state.struck.filter(({ shotId }) => shotId !== act.shotId);
  const next = { ...state, struck: [...others, { shotId: act.shotId, at: act.at }].slice(-IMPACTS_MAX) };
  return [next, [impactsEvent(next, atNs)]];
}

export function takeExclusion(
  state: CrewState,
  { sessionId: own }: Pick<CrewContext, 'sessionId'>,
  act: Extract<OperatorAct, { act: 'exclude' }>,
  atNs: SessionNs,
): ActStep {
  const { shotId, excluded, reason, who } = act;
  const elsewhere = ofAnother(act, own);
  if (!elsewhere && !hasShot(state, shotId)) return refused(state, act, noShot(shotId), atNs);
  if (reason.trim() === '') return refused(state, act, `say why shot ${shotId} is ${excluded ? 'left out' : 'taken in again'}`, atNs);
  const shots = state.shots.map((shot) => (shot.id === shotId ? { ...shot, excluded } : shot));
  const next = { ...state, shots };
  const told = { type: 'shot-excluded', atNs, shotId, ...elsewhere, excluded, reason, who } as const;
  if (elsewhere) return [state, [told]];
  return [next, state.struck.some((each) => each.shotId === shotId) ? [told, impactsEvent(next, atNs)] : [told]];
}

/** Of an act on a shot of an earlier session: whether there is such a shot, no journal but its own can tell. */
export const ofAnother = ({ sessionId }: { readonly sessionId?: string }, own: string): { readonly sessionId: string } | undefined =>
  sessionId === undefined || sessionId === own ? undefined : { sessionId };

export const hasShot = ({ shots }: CrewState, id: string): boolean => shots.some((shot) => shot.id === id);

export const noShot = (id: string): string => `there is no shot ${id} in this session; postern shots lists them`;

const tooFar = (what: string): string => `${what} is no point within ${AWAY_M_MAX} m of the one that is to be hit; check its unit`;

/** NaN is nowhere. */
const isNear = ({ rightM, upM }: TargetPoint): boolean => Math.abs(rightM) <= AWAY_M_MAX && Math.abs(upM) <= AWAY_M_MAX;
