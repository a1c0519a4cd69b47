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

const ITERATIONS_MAX = 25;
const CONVERGED = 1e-10;

/**
 * Weighted non-linear least squares with prior knowledge (Gauss–Newton with step halving), and the uncertainty of
 * its parameters traced to named inputs.
 * @param problem.predict  predictions for a parameter vector, as many as observed
 * @param problem.weightUncertainty  standard uncertainty that sets each observation's weight, > 0
 * @param problem.influences  everything whose uncertainty is to appear in the budget
 * @returns undefined where the normal matrix is singular or the search does not settle
 */
export function fitLeastSquares(problem: {
  readonly predict: (parameters: readonly number[]) => readonly number[];
  readonly observed: readonly number[];
  readonly weightUncertainty: readonly number[];
  readonly parameters: readonly Parameter[];
  readonly influences: (parameters: readonly number[]) => readonly Influence[];
}): Fit | undefined {
  const { predict, observed, parameters } = problem;
  const weights = problem.weightUncertainty.map((u) => 1 / (u * u));
  const priorWeights = parameters.map((p) => (Number.isFinite(p.prior.standardUncertainty) ? 1 / p.prior.standardUncertainty ** 2 : 0));

  const residualsAt = (values: readonly number[]) => predict(values).map((predicted, i) => at(observed, i) - predicted);
  const costOf = (values: readonly number[], residuals: readonly number[]) =>
    residuals.reduce((sum, r, i) => sum + at(weights, i) * r * r, 0) +
    parameters.reduce((sum, p, j) => sum + at(priorWeights, j) * (at(values, j) - p.prior.value) ** 2, 0);

  let values: readonly number[] = parameters.map((p) => p.start);
  let residuals = residualsAt(values);
  let cost = costOf(values, residuals);
  for (let iteration = 1; iteration <= ITERATIONS_MAX; iteration++) {
    const jacobian = jacobianAt(predict, values, parameters);
    const normal = normalMatrix(jacobian, weights, priorWeights);
    const covariance = tryInverse(normal);
    if (!covariance || !Number.isFinite(cost)) return undefined;
    const gradient = parameters.map(
      (p, j) =>
        residuals.reduce((sum, r, i) => sum + jacobian.get(i, j) * at(weights, i) * r, 0) +
        at(priorWeights, j) * (p.prior.value - at(values, j)),
    );
    const move = covariance.mmul(Matrix.columnVector(gradient)).to1DArray();
    // Step length in units of the parameters' own uncertainty.
    const length = Math.sqrt(
      Math.max(
        0,
        move.reduce((sum, m, j) => sum + m * at(gradient, j), 0),
      ),
    );
    let share = 1;
    let next = values;
    let nextResiduals = residuals;
    let nextCost = Number.POSITIVE_INFINITY;
    for (; share > 1e-4; share /= 2) {
      next = values.map((value, j) => value + share * at(move, j));
      nextResiduals = residualsAt(next);
      nextCost = costOf(next, nextResiduals);
      if (nextCost <= cost * (1 + 1e-12) + 1e-12) break;
    }
    if (share <= 1e-4) return length < 1e-3 ? settled(iteration) : undefined;
    values = next;
    residuals = nextResiduals;
    cost = nextCost;
    if (length < Math.sqrt(CONVERGED)) return settled(iteration);
  }
  return undefined;

  function settled(iterations: number): Fit | undefined {
    const jacobian = jacobianAt(predict, values, parameters);
    const covariance = tryInverse(normalMatrix(jacobian, weights, priorWeights));
    if (!covariance) return undefined;
    const influences = problem.influences(values);
    const estimates = values.map((value, j) => {
      const parts = influences.map((influence) => {
        const gain = observed.reduce((sum, _, i) => sum + gainAt(covariance, jacobian, weights, j, i) * at(influence.effect, i), 0);
        return { of: influence.of, partial: gain };
      });
      const priors = parameters.map((p, l) => ({
        of: at(priorWeights, l) > 0 ? input(p.name, p.unit, p.prior) : exact(0),
        partial: covariance.get(j, l) * at(priorWeights, l),
      }));
      return combine(value, [...parts, ...priors]);
    });
    const informative = priorWeights.filter((w) => w > 0).length;
    return {
      parameters: estimates,
      values,
      residuals,
      chiSquared: cost,
      degreesOfFreedom: observed.length + informative - parameters.length,
      iterations,
    };
  }
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
