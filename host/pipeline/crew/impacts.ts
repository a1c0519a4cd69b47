/** Where the shots of a series struck: mean point of impact, spread, and what to hold next. */
import type { Impact, ImpactsEvent, Measured, SessionNs, TargetPoint } from '../../../protocol/index.ts';
import { coverageFactor } from '../../metrology/index.ts';

export interface ImpactsState {
  readonly aim: TargetPoint | undefined;
  /** Oldest first. */
  readonly impacts: readonly Impact[];
}

export const NO_IMPACTS: ImpactsState = { aim: undefined, impacts: [] };

/** More shots than a day has. */
const IMPACTS_MAX = 500;

export const takeAim = (before: ImpactsState, aim: TargetPoint): ImpactsState => ({ ...before, aim });

/** A second entry for a shot takes the place of the first. */
export function takeImpact(before: ImpactsState, impact: Omit<Impact, 'aim'>): ImpactsState {
  const others = before.impacts.filter(({ shotId }) => shotId !== impact.shotId);
  const full: Impact = { ...impact, ...(before.aim ? { aim: before.aim } : {}) };
  return { ...before, impacts: [...others, full].slice(-IMPACTS_MAX) };
}

/** The series: the impacts fired with the present aim, against that aim. */
export function impactsEvent({ aim, impacts }: ImpactsState, atNs: SessionNs): ImpactsEvent {
  const same = (other: TargetPoint | undefined): boolean => other?.rightM === aim?.rightM && other?.upM === aim?.upM;
  const series = impacts.filter((impact) => same(impact.aim));
  const from = aim ?? { rightM: 0, upM: 0 };
  const right = meanOf(series.map(({ at }) => at.rightM - from.rightM));
  const up = meanOf(series.map(({ at }) => at.upM - from.upM));
  return {
    type: 'impacts',
    atNs,
    impacts,
    ...(aim ? { aim } : {}),
    ...(right && up ? { mean: { rightM: right.mean, upM: up.mean }, holdNext: { rightM: -right.mean.value, upM: -up.mean.value } } : {}),
    ...(right?.spread !== undefined && up?.spread !== undefined ? { spreadM: { right: right.spread, up: up.spread } } : {}),
  };
}

/** Of one shot nobody knows how it would scatter: its mean is as unsure as can be said, not at all. */
function meanOf(values: readonly number[]): { readonly mean: Measured; readonly spread: number | undefined } | undefined {
  const n = values.length;
  if (n === 0) return undefined;
  const value = values.reduce((sum, v) => sum + v, 0) / n;
  if (n === 1) return { mean: { value, standardUncertainty: 0, expandedUncertainty: 0 }, spread: undefined };
  const spread = Math.sqrt(values.reduce((sum, v) => sum + (v - value) ** 2, 0) / (n - 1));
  const standardUncertainty = spread / Math.sqrt(n);
  return { mean: { value, standardUncertainty, expandedUncertainty: coverageFactor(0.95, n - 1) * standardUncertainty }, spread };
}
