import { inverse, Matrix } from 'ml-matrix';
import { combine, type Estimate, exact, input } from './estimate.ts';

/** A parameter with what is known of it beforehand; an infinite standard uncertainty is no knowledge. */
export interface Parameter {
  readonly name: string;
  readonly unit: string;
  readonly start: number;
  readonly prior: { readonly value: number; readonly standardUncertainty: number };
  /** For the numerical derivative; small against the parameter's own uncertainty. */
  readonly step: number;
}

/** Something uncertain that bears on the predictions: a gate's place, the clock's rate, the air's density. */
export interface Influence {
  readonly of: Estimate;
  /** How observed minus predicted changes with it, one an observation. */
  readonly effect: readonly number[];
}

export interface Fit {
  readonly parameters: readonly Estimate[];
  readonly values: readonly number[];
  /** Observed minus predicted. */
  readonly residuals: readonly number[];
  /** Weighted sum of squares of the residuals and of the departures from the priors. */
  readonly chiSquared: number;
  readonly degreesOfFreedom: number;
  readonly iterations: number;
}

export interface FitProblem {
  /** Predictions for a parameter vector, as many as observed. */
  readonly predict: (parameters: readonly number[]) => readonly number[];
  readonly observed: readonly number[];
  /** Standard uncertainty that sets each observation's weight, > 0. */
  readonly weightUncertainty: readonly number[];
  readonly parameters: readonly Parameter[];
  /** Everything whose uncertainty is to appear in the budget, at the parameters found. */
  readonly influences: (parameters: readonly number[]) => readonly Influence[];
}

const ITERATIONS_MAX = 25;
const HALVINGS_MAX = 13;
/** A step so short against the parameters' own uncertainties changes nothing that is shown. */
const SHORT_STEP = 1e-5;
/** Where no shorter step lowers the cost, a step so short is rounding, a longer one a failure. */
const ROUNDING_STEP = 1e-3;

/**
 * Weighted non-linear least squares with prior knowledge (Gauss–Newton with step halving), and the uncertainty of
 * its parameters traced to named inputs.
 * @returns undefined where the normal matrix is singular or the search does not settle
 */
export function fitLeastSquares(problem: FitProblem): Fit | undefined {
  const weights = problem.weightUncertainty.map((u) => 1 / (u * u));
  const priorWeights = problem.parameters.map(({ prior }) =>
    Number.isFinite(prior.standardUncertainty) ? prior.standardUncertainty ** -2 : 0,
  );
  const found = search(problem, weights, priorWeights);
  if (!found) return undefined;
  const { values, residuals, cost, iterations } = found;
  const jacobian = jacobianAt(problem.predict, values, problem.parameters);
  const covariance = tryInverse(normalMatrix(jacobian, weights, priorWeights));
  if (!covariance) return undefined;
  return {
    parameters: traced(problem, values, { jacobian, covariance, weights, priorWeights }),
    values,
    residuals,
    chiSquared: cost,
    degreesOfFreedom: problem.observed.length + priorWeights.filter((w) => w > 0).length - values.length,
    iterations,
  };
}

interface Place {
  readonly values: readonly number[];
  readonly residuals: readonly number[];
  readonly cost: number;
}

function search(
  problem: FitProblem,
  weights: readonly number[],
  priorWeights: readonly number[],
): (Place & { readonly iterations: number }) | undefined {
  const { parameters } = problem;
  const placeAt = (values: readonly number[]): Place => {
    const residuals = problem.predict(values).map((predicted, i) => at(problem.observed, i) - predicted);
    const misfit = residuals.reduce((sum, r, i) => sum + at(weights, i) * r * r, 0);
    const departure = parameters.reduce((sum, p, j) => sum + at(priorWeights, j) * (at(values, j) - p.prior.value) ** 2, 0);
    return { values, residuals, cost: misfit + departure };
  };
  let place = placeAt(parameters.map((p) => p.start));
  for (let iterations = 1; iterations <= ITERATIONS_MAX; iterations++) {
    const jacobian = jacobianAt(problem.predict, place.values, parameters);
    const covariance = tryInverse(normalMatrix(jacobian, weights, priorWeights));
    if (!covariance || !Number.isFinite(place.cost)) return undefined;
    const gradient = parameters.map(
      ({ prior }, j) =>
        place.residuals.reduce((sum, r, i) => sum + jacobian.get(i, j) * at(weights, i) * r, 0) +
        at(priorWeights, j) * (prior.value - at(place.values, j)),
    );
    const move = covariance.mmul(Matrix.columnVector(gradient)).to1DArray();
    // In units of the parameters' own uncertainty.
    const length = Math.sqrt(
      Math.max(
        0,
        move.reduce((sum, m, j) => sum + m * at(gradient, j), 0),
      ),
    );
    const next = stepDown(place, move, placeAt);
    if (!next) return length < ROUNDING_STEP ? { ...place, iterations } : undefined;
    place = next;
    if (length < SHORT_STEP) return { ...place, iterations };
  }
  return undefined;
}

/** The move, halved until it does not raise the cost; undefined where none does. */
function stepDown(from: Place, move: readonly number[], placeAt: (values: readonly number[]) => Place): Place | undefined {
  for (let halvings = 0; halvings <= HALVINGS_MAX; halvings++) {
    const next = placeAt(from.values.map((value, j) => value + at(move, j) / 2 ** halvings));
    if (next.cost <= from.cost * (1 + 1e-12) + 1e-12) return next;
  }
  return undefined;
}

interface Linearised {
  readonly jacobian: Matrix;
  readonly covariance: Matrix;
  readonly weights: readonly number[];
  readonly priorWeights: readonly number[];
}

/** Each parameter as an estimate: what the influences and the prior knowledge do to it, to first order. */
function traced(problem: FitProblem, values: readonly number[], linear: Linearised): readonly Estimate[] {
  const influences = problem.influences(values);
  return values.map((value, j) => {
    const gains = problem.observed.map((_, i) => gainAt(linear.covariance, linear.jacobian, linear.weights, j, i));
    const parts = influences.map(({ of, effect }) => ({ of, partial: gains.reduce((sum, gain, i) => sum + gain * at(effect, i), 0) }));
    const priors = problem.parameters.map((p, l) => ({
      of: at(linear.priorWeights, l) > 0 ? input(p.name, p.unit, p.prior) : exact(0),
      partial: linear.covariance.get(j, l) * at(linear.priorWeights, l),
    }));
    return combine(value, [...parts, ...priors]);
  });
}

/** Element (j, i) of (JᵀWJ + prior)⁻¹JᵀW: what parameter j does when observation i moves. */
function gainAt(covariance: Matrix, jacobian: Matrix, weights: readonly number[], j: number, i: number): number {
  let sum = 0;
  for (let l = 0; l < covariance.columns; l++) sum += covariance.get(j, l) * jacobian.get(i, l);
  return sum * at(weights, i);
}

function jacobianAt(
  predict: (p: readonly number[]) => readonly number[],
  values: readonly number[],
  parameters: readonly Parameter[],
): Matrix {
  const columns = parameters.map((parameter, j) => {
    const moved = (by: number) => predict(values.map((value, l) => (l === j ? value + by : value)));
    const up = moved(parameter.step);
    const down = moved(-parameter.step);
    return up.map((u, i) => (u - at(down, i)) / (2 * parameter.step));
  });
  return new Matrix(columns).transpose();
}

function normalMatrix(jacobian: Matrix, weights: readonly number[], priorWeights: readonly number[]): Matrix {
  const weighted = jacobian.clone();
  for (let i = 0; i < weighted.rows; i++) weighted.mulRow(i, at(weights, i));
  return jacobian
    .transpose()
    .mmul(weighted)
    .add(Matrix.diag([...priorWeights]));
}

/** Scaled to a unit diagonal first: times in ns and velocities in m/s differ by many powers of ten. */
function tryInverse(normal: Matrix): Matrix | undefined {
  const scale = normal.diagonal().map((d) => (d > 0 ? 1 / Math.sqrt(d) : Number.NaN));
  if (scale.some((s) => !Number.isFinite(s))) return undefined;
  const scaled = normal.clone().mulColumnVector(scale).mulRowVector(scale);
  try {
    const inverted = inverse(scaled).mulColumnVector(scale).mulRowVector(scale);
    return inverted.to1DArray().every(Number.isFinite) ? inverted : undefined;
  } catch {
    return undefined;
  }
}

function at(values: readonly number[], index: number): number {
  const value = values[index];
  if (value === undefined) throw new RangeError(`index ${index} of ${values.length}`);
  return value;
}
