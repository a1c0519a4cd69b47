/**
 * A projectile weighed after its shot. The shot is reduced anew with its own mass, under the rig file and the boards'
 * clocks that it was closed with, however long ago that is within the last shots; what was recorded stays as it is.
 */
import type { OperatorAct, PipelineEvent, SessionNs } from '../../protocol/index.ts';
import { NO_EXCHANGES } from '../metrology/index.ts';
import type { Rig } from '../rig/index.ts';
import { withBlowDown } from './shot-blow-down.ts';
import { describeShot, massOf, surroundingsAnyway } from './shot-report.ts';
import { INITIAL_STATE, type PastShot, type PipelineState, type ShotRecord } from './state.ts';

/** Some forty kilobytes each, half of it the pressure traces. */
export const PAST_MAX = 200;
/** Further from the rig file's mass is a slipped unit. */
const MASS_FACTOR_MAX = 5;
/** Of the mass. */
const MASS_UNCERTAINTY_MAX = 0.3;

type Weigh = Extract<OperatorAct, { act: 'weigh' }>;

/** Remembers a closed shot; closed again, in its old place. */
export function withPast(state: PipelineState, rig: Rig, record: ShotRecord): PipelineState {
  const kept = record.kept ?? surroundingsAnyway(state, rig, record);
  // A shot is timed by the clock that was found, not by what it was found from.
  const clocks = Object.entries(state.boards).map(([name, board]) => [name, { ...board, clockHistory: NO_EXCHANGES }] as const);
  const past: PastShot = { record: { ...record, kept }, rig, boards: Object.fromEntries(clocks) };
  return withPastShot(state, past);
}

function withPastShot(state: PipelineState, past: PastShot): PipelineState {
  const known = state.shots.past.some(({ record }) => record.number === past.record.number);
  const all = known
    ? state.shots.past.map((each) => (each.record.number === past.record.number ? past : each))
    : [...state.shots.past, past].slice(-PAST_MAX);
  return { ...state, shots: { ...state.shots, past: all } };
}

export function weigh(state: PipelineState, act: Weigh, atNs: SessionNs): readonly [PipelineState, readonly PipelineEvent[]] {
  const found = state.shots.past.find(({ record }) => idOf(state, record) === act.shotId);
  const why = found
    ? whyNot(act, found)
    : `there is no shot ${act.shotId} among the last ${PAST_MAX} closed ones of this session; postern shots lists them`;
  if (!found || why !== undefined) return [state, [{ type: 'act-refused', atNs, act: act.act, why: why ?? '' }]];
  const { mass, reason, who, shotId } = act;
  const { weighed: earlier, ...bare } = found.record;
  const record = mass ? { ...bare, weighed: { ...mass, atNs, reason, who } } : bare;
  const past = { ...found, record };
  const [shot] = withBlowDown(describeShot(asItWas(state, past), past.rig, record), past.rig, atNs);
  // An edge that still comes for it finds the mass too.
  const records = state.shots.records.map((each) => (each.number === record.number ? carrying(each, record) : each));
  const next = withPastShot({ ...state, shots: { ...state.shots, records } }, past);
  const before = earlier ? { valueKg: earlier.valueKg, standardUncertaintyKg: earlier.standardUncertaintyKg } : massOf(past.rig);
  return [
    next,
    [
      { type: 'shot-weighed', atNs, shotId, before, after: mass ?? massOf(past.rig), reason, who },
      { type: 'shot', phase: 'closed', atNs, shot },
    ],
  ];
}

const idOf = ({ sessionId }: PipelineState, { number }: ShotRecord): string => `${sessionId}-${String(number).padStart(3, '0')}`;

const asItWas = ({ sessionId }: PipelineState, { boards }: PastShot): PipelineState => ({ ...INITIAL_STATE, sessionId, boards });

function carrying({ weighed: _, ...bare }: ShotRecord, { weighed }: ShotRecord): ShotRecord {
  return weighed ? { ...bare, weighed } : bare;
}

function whyNot({ mass, reason, shotId }: Weigh, { rig }: PastShot): string | undefined {
  if (reason.trim() === '') return `say why the mass of shot ${shotId}’s projectile is another`;
  if (!mass) return undefined;
  const { valueKg, standardUncertaintyKg } = mass;
  const usual = rig.projectile.massKg.value;
  const grams = (kg: number): string => `${Number((1000 * kg).toPrecision(4))} g`;
  if (!(valueKg >= usual / MASS_FACTOR_MAX && valueKg <= usual * MASS_FACTOR_MAX))
    return `a mass of ${grams(valueKg)} is far from the rig file’s ${grams(usual)}; check its unit`;
  if (!(standardUncertaintyKg >= 0 && standardUncertaintyKg <= MASS_UNCERTAINTY_MAX * valueKg))
    return `a mass known to no better than ${grams(standardUncertaintyKg)} says nothing; check its unit`;
  return undefined;
}
