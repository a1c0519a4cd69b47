/**
 * Is what was measured within what is allowed? Decision rules that take the uncertainty into account.
 * Source: JCGM 106:2012, "The role of measurement uncertainty in conformity assessment" (clause numbers from memory)
 */
import { probabilityBelow } from './normal-mixture.ts';

/** The ends that are allowed; one of them may be left out. */
export interface Tolerance {
  readonly from?: number;
  readonly to?: number;
}

export type Conformity = 'accepted' | 'rejected' | 'undecided';

/**
 * Probability that the quantity lies within the tolerance, given the measured value and a normal distribution.
 * @param standardUncertainty  k = 1, > 0
 * Source: JCGM 106:2012, 7.3 and 7.4
 */
export function conformanceProbability(
  { value, standardUncertainty }: { readonly value: number; readonly standardUncertainty: number },
  { from = Number.NEGATIVE_INFINITY, to = Number.POSITIVE_INFINITY }: Tolerance,
): number {
  if (!(standardUncertainty >= 0)) throw new RangeError(`a standard uncertainty of ${standardUncertainty}`);
  if (standardUncertainty === 0) return value >= from && value <= to ? 1 : 0;
  const below = (x: number): number =>
    Number.isFinite(x) ? probabilityBelow([{ weight: 1, mean: value, standardDeviation: standardUncertainty }], x) : x > 0 ? 1 : 0;
  return Math.max(0, below(to) - below(from));
}

/**
 * Accepted within the tolerance drawn in by the guard, rejected beyond it drawn out by the guard, undecided between.
 * A guard of 0 is the plain rule: whatever lies within is accepted, and all else rejected.
 * @param guard  ≥ 0, in the value's unit; for guarded acceptance and rejection a multiple of the expanded uncertainty
 * Source: JCGM 106:2012, 8.2 (plain), 8.3.2 and 8.3.3 (guarded)
 */
export function conformity(
  value: number,
  { from = Number.NEGATIVE_INFINITY, to = Number.POSITIVE_INFINITY }: Tolerance,
  guard: number,
): Conformity {
  if (!(guard >= 0) || Number.isNaN(value)) throw new RangeError(`a value of ${value} with a guard of ${guard}`);
  if (value >= from + guard && value <= to - guard) return 'accepted';
  if (value < from - guard || value > to + guard) return 'rejected';
  return guard === 0 ? 'rejected' : 'undecided';
}
