/** Where the shots of a series struck: mean point of impact, spread, and what to hold next. */
import type { Impact, ImpactsEvent, Measured, SessionNs, TargetPoint } from '../../../protocol/index.ts';
import { coverageFactor, meanOf } from '../../metrology/index.ts';

export interface ImpactsState {
  readonly aim: TargetPoint | undefined;
  /** Oldest first. */
  readonly impacts: readonly Impact[];
  /** Shots left out, by id; the newest EXCLUDED_MAX. */
  readonly excluded: readonly string[];
}

export const NO_IMPACTS: ImpactsState = { aim: undefined, impacts: [], excluded: [] };

const EXCLUDED_MAX = 500;

/** More shots than a day has. */
const IMPACTS_MAX = 500;

export const takeAim = (before: ImpactsState, aim: TargetPoint): ImpactsState => ({ ...before, aim });

/** A second entry for a shot takes the place of the first. */
export function takeImpact(before: ImpactsState, impact: Omit<Impact, 'aim'>): ImpactsState {
  const others = before.impacts.filter(({ shotId }) => shotId !== impact.shotId);
  const full: Impact = { ...impact, ...(before.aim ? { aim: before.aim } : {}) };
  return { ...before, impacts: [...others, full].slice(-IMPACTS_MAX) };
}

/** Left out of the series; also before anybody has told where it struck. */
export function exclude(before: ImpactsState, shotId: string, excluded: boolean): ImpactsState {
  const others = before.excluded.filter((id) => id !== shotId);
  return { ...before, excluded: (excluded ? [...others, shotId] : others).slice(-EXCLUDED_MAX) };
}

/** The series: the impacts told with the present aim, against that aim, without the shots left out. */
export function impactsEvent({ aim, impacts, excluded }: ImpactsState, atNs: SessionNs): ImpactsEvent {
  const isOut = ({ shotId }: Impact): boolean => excluded.includes(shotId);
  const same = (other: TargetPoint | undefined): boolean => other?.rightM === aim?.rightM && other?.upM === aim?.upM;
  const series = impacts.filter((impact) => same(impact.aim) && !isOut(impact));
  const from = aim ?? { rightM: 0, upM: 0 };
  const right = seriesOf(series.map(({ at }) => at.rightM - from.rightM));
  const up = seriesOf(series.map(({ at }) => at.upM - from.upM));
  return {
    type: 'impacts',
    atNs,
    impacts: impacts.map((impact) => (isOut(impact) ? { ...impact, excluded: true as const } : impact)),
    ...(aim ? { aim } : {}),
    ...(right?.mean && up?.mean ? { mean: { rightM: right.mean, upM: up.mean } } : {}),
    ...(right?.spread !== undefined && up?.spread !== undefined ? { spreadM: { right: right.spread, up: up.spread } } : {}),
    // Without a negative zero.
    ...(right && up ? { holdNext: { rightM: 0 - right.value, upM: 0 - up.value } } : {}),
  };
}

interface Series {
  readonly value: number;
  /** From two shots on: of one nobody knows how it would scatter. */
  readonly mean?: Measured;
  readonly spread?: number;
}

/** Source: JCGM 100:2008, 4.2.1 to 4.2.3, and G.3.2 for the interval */
function seriesOf(values: readonly number[]): Series | undefined {
  const [first] = values;
  if (first === undefined) return undefined;
  if (values.length === 1) return { value: first };
  const { value, standardUncertainty, standardDeviation, degreesOfFreedom } = meanOf(values);
  const expandedUncertainty = coverageFactor(0.95, degreesOfFreedom) * standardUncertainty;
  return { value, mean: { value, standardUncertainty, expandedUncertainty }, spread: standardDeviation };
}
