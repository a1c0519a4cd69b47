/**
 * The search for the least weighted sum of squares. It tries the full Gauss–Newton step first, which near the end is
 * the quickest there is, and damps it (Levenberg–Marquardt, in each parameter's own scale) only where that step leads
 * uphill or out of the model's range.
 */
import type { Matrix } from 'ml-matrix';
import { at } from './at.ts';
import { moveFor, type Place } from './damped-move.ts';

/** All residuals in units of their own uncertainty, the departures from prior knowledge among them. */
export interface Landscape {
  /** To be brought to 0. */
  readonly misfit: (values: readonly number[]) => readonly number[];
  /** How misfit falls as the parameters rise. */
  readonly slope: (values: readonly number[]) => Matrix;
}

export interface Found {
  readonly values: readonly number[];
  readonly cost: number;
  /** The slope there, or so short a step from there that it is the same. */
  readonly slope: Matrix;
  readonly iterations: number;
}

/** A step so short against the parameters' own uncertainties changes nothing that is shown. */
const SHORT_STEP = 1e-6;
/** Where no shorter step lowers the cost, a step so short is rounding, a longer one a failure. */
const ROUNDING_STEP = 1e-3;
/** Relative; what rounding does to a cost. */
const ROUNDING = 1e-12;
/**
 * A cost that falls by no more than this part, so many times one after the other, has come to rest: where predictions are
 * made by numerical integration, the slope at the bottom is wrong by more than a step there is long.
 */
const STILL = 1e-14;
const STILL_ROUNDS = 4;
/** The first damping tried: little, so that a long shallow valley is walked in long steps. */
const DAMPING_MIN = 1e-12;
const DAMPING_MAX = 1e16;
/** A step is worth taking for this part of the fall that it promised. */
const GAIN_MIN = 1e-4;

/** @returns undefined where the parameters cannot be told apart or the search does not settle */
export function findLeast(
  { misfit, slope }: Landscape,
  start: readonly number[],
  { iterationsMax, shortStep = SHORT_STEP }: { readonly iterationsMax: number; readonly shortStep?: number | undefined },
): Found | undefined {
  const placeAt = (values: readonly number[]): Place => {
    const rows = misfit(values);
    return { values, misfit: rows, cost: rows.reduce((sum, r) => sum + r * r, 0) };
  };
  let place = placeAt(start);
  let damping = 0;
  let still = 0;
  // The longest each column has been: a parameter that has lost its hold must not run away (Moré 1978, section 4, from memory).
  let scale: readonly number[] = start.map(() => 0);
  for (let iterations = 1; iterations <= iterationsMax; iterations++) {
    if (!Number.isFinite(place.cost)) return undefined;
    const matrix = slope(place.values);
    scale = scale.map((length, j) => Math.max(length, matrix.getColumnVector(j).norm()));
    const step = downhill(place, { matrix, scale, damping, shortStep }, placeAt);
    if (!step) return undefined;
    still = place.cost - step.place.cost < STILL * place.cost ? still + 1 : 0;
    if (step.settled || still === STILL_ROUNDS) return { values: step.place.values, cost: step.place.cost, slope: matrix, iterations };
    ({ place, damping } = step);
  }
  return undefined;
}

interface Step {
  readonly place: Place;
  readonly damping: number;
  readonly settled: boolean;
}

interface Direction {
  readonly matrix: Matrix;
  readonly scale: readonly number[];
  readonly damping: number;
  readonly shortStep: number;
}

/** One step, damped until it lowers the cost; undefined where no damping makes it so. */
function downhill(
  from: Place,
  { matrix, scale, damping: dampingBefore, shortStep }: Direction,
  placeAt: (values: readonly number[]) => Place,
): Step | undefined {
  const unit = scatterOf(from, matrix.columns);
  let growth = 4;
  for (let damping = dampingBefore; damping <= DAMPING_MAX; damping = damping === 0 ? DAMPING_MIN : damping * growth) {
    growth *= 2;
    const move = moveFor(from, matrix, damping, scale);
    if (!move) continue;
    const place = placeAt(from.values.map((value, j) => value + at(move.values, j)));
    const gain = (from.cost - place.cost) / move.promised;
    const level = place.cost <= from.cost * (1 + ROUNDING);
    const short = level && move.length < shortStep * unit;
    if (short && damping === 0) return { place, damping, settled: true };
    // Short only because it is damped, or promising less than rounding hides: the full step has to decide.
    if (short && (move.promised <= from.cost * ROUNDING || !(gain > GAIN_MIN))) return { place, damping: 0, settled: false };
    if (gain > GAIN_MIN) return { place, damping: eased(damping, gain), settled: false };
    // The full step is short and does not lower what can be told apart from this cost; it still knows better than the cost.
    if (damping === 0 && move.length < ROUNDING_STEP * unit) return { place: level ? place : from, damping, settled: true };
  }
  return undefined;
}

/** Less damping where the model kept what its slope promised, more where it kept little. */
function eased(damping: number, gain: number): number {
  if (gain > 0.75) return damping / 9 < DAMPING_MIN ? 0 : damping / 9;
  return gain < 0.25 ? damping * 2 : damping;
}

/**
 * The unit of length: where residuals are far smaller than claimed, so are the parameters' uncertainties, within reason.
 */
function scatterOf({ misfit, cost }: Place, parameters: number): number {
  return Math.min(1, Math.max(1e-3, Math.sqrt(cost / Math.max(1, misfit.length - parameters))));
}
