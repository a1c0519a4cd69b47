/**
 * Weighted non-linear least squares with prior knowledge, and the uncertainty of its parameters traced to named inputs.
 * Each observation and each piece of prior knowledge is one row, in units of its own uncertainty; see search.ts for the
 * search, scaled-qr.ts for the linear algebra.
 */
import { Matrix } from 'ml-matrix';
import { at } from './at.ts';
import { RANK_TOLERANCE } from './damped-move.ts';
import { combine, type Estimate, input } from './estimate.ts';
import { jacobianByDifferences } from './jacobian.ts';
import { scaledQr } from './scaled-qr.ts';
import { findLeast } from './search.ts';

/** A parameter with what is known of it beforehand; an infinite standard uncertainty is no knowledge. */
export interface Parameter {
  readonly name: string;
  readonly unit: string;
  readonly start: number;
  readonly prior: { readonly value: number; readonly standardUncertainty: number };
  /** For the numerical derivative; small against the parameter's own uncertainty. Absent: taken from the parameter's size. */
  readonly step?: number;
}

/** Something uncertain that bears on the predictions: a gate's place, the clock's rate, the air's density. */
export interface Influence {
  readonly of: Estimate;
  /** How observed minus predicted changes with it, one an observation. */
  readonly effect: readonly number[];
}

export interface Fit {
  /** Traced to the influences and the prior knowledge, and to nothing else. */
  readonly parameters: readonly Estimate[];
  readonly values: readonly number[];
  /** As the weights and the prior knowledge have it, in the parameters' units. */
  readonly covariance: readonly (readonly number[])[];
  /** k = 1, as the residuals' own scatter has it: the weights only say which observation counts more. NaN with no degrees of freedom. */
  readonly scatterStandardUncertainties: readonly number[];
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
  /** Partial derivatives of the predictions, a row a prediction. Absent: by central differences. */
  readonly jacobian?: (parameters: readonly number[]) => readonly (readonly number[])[];
  readonly observed: readonly number[];
  /** Standard uncertainty that sets each observation's weight, > 0. */
  readonly weightUncertainty: readonly number[];
  readonly parameters: readonly Parameter[];
  /** Everything whose uncertainty is to appear in the budget, at the parameters found. */
  readonly influences: (parameters: readonly number[]) => readonly Influence[];
  /** A step shorter than this, in the parameters' own uncertainties, ends the search. Default 1e-6. */
  readonly shortStep?: number;
  /** Default 100. */
  readonly iterationsMax?: number;
}

const ITERATIONS_MAX = 100;

/** @returns undefined where the parameters cannot be told apart or the search does not settle */
export function fitLeastSquares(problem: FitProblem): Fit | undefined {
  const { observed, parameters } = problem;
  const rows = rowsOf(problem);
  const start = parameters.map((p) => p.start);
  const found = findLeast(rows, start, { iterationsMax: problem.iterationsMax ?? ITERATIONS_MAX, shortStep: problem.shortStep });
  if (!found) return undefined;
  const { values, cost, slope, iterations } = found;
  const gains = scaledQr(slope, RANK_TOLERANCE)?.gains();
  if (!gains) return undefined;
  const covariance = gains.mmul(gains.transpose()).to2DArray();
  const degreesOfFreedom = observed.length + rows.known.length - values.length;
  const scatter = degreesOfFreedom > 0 ? Math.sqrt(cost / degreesOfFreedom) : Number.NaN;
  return {
    parameters: traced(problem, rows, values, gains),
    values,
    covariance,
    scatterStandardUncertainties: covariance.map((row, j) => scatter * Math.sqrt(at(row, j))),
    residuals: problem.predict(values).map((predicted, i) => at(observed, i) - predicted),
    chiSquared: cost,
    degreesOfFreedom,
    iterations,
  };
}

interface Rows {
  /** Indices of the parameters that something is known of beforehand; their rows follow the observations'. */
  readonly known: readonly number[];
  readonly misfit: (values: readonly number[]) => readonly number[];
  readonly slope: (values: readonly number[]) => Matrix;
}

/** Observations, then prior knowledge, each in units of its own uncertainty. */
function rowsOf({ predict, jacobian, observed, weightUncertainty, parameters }: FitProblem): Rows {
  const known = parameters.flatMap(({ prior }, j) => (Number.isFinite(prior.standardUncertainty) ? [j] : []));
  const steps = parameters.map((p) => p.step);
  const scales = parameters.map(
    (p) => Math.abs(p.start) || (Number.isFinite(p.prior.standardUncertainty) ? p.prior.standardUncertainty : 1),
  );
  return {
    known,
    misfit: (values) => [
      ...predict(values).map((predicted, i) => (at(observed, i) - predicted) / at(weightUncertainty, i)),
      ...known.map((j) => (at(parameters, j).prior.value - at(values, j)) / at(parameters, j).prior.standardUncertainty),
    ],
    slope: (values) => {
      const derivatives = jacobian ? new Matrix(jacobian(values)) : jacobianByDifferences(predict, values, steps, scales);
      const all = Matrix.zeros(observed.length + known.length, parameters.length);
      all.setSubMatrix(derivatives, 0, 0);
      for (const [i, u] of weightUncertainty.entries()) all.mulRow(i, 1 / u);
      for (const [k, j] of known.entries()) all.set(observed.length + k, j, 1 / at(parameters, j).prior.standardUncertainty);
      return all;
    },
  };
}

/** Each parameter as an estimate: what the influences and the prior knowledge do to it, to first order. */
function traced(problem: FitProblem, { known }: Rows, values: readonly number[], gains: Matrix): readonly Estimate[] {
  const { observed, weightUncertainty, parameters } = problem;
  const influences = problem.influences(values);
  return values.map((value, j) => {
    const gain = observed.map((_, i) => gains.get(j, i) / at(weightUncertainty, i));
    const parts = influences.map(({ of, effect }) => ({ of, partial: gain.reduce((sum, g, i) => sum + g * at(effect, i), 0) }));
    const priors = known.map((l, k) => {
      const { name, unit, prior } = at(parameters, l);
      return { of: input(name, unit, prior), partial: gains.get(j, observed.length + k) / prior.standardUncertainty };
    });
    return combine(value, [...parts, ...priors]);
  });
}
