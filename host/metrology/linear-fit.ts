/** Weighted linear least squares (JCGM 100:2008, H.3, is the case of a straight line). */
import { Matrix } from 'ml-matrix';
import { at } from './at.ts';
import { correlationCoefficient } from './covariance.ts';
import { dotTwice } from './dot-twice.ts';
import { type ScaledQr, scaledQr } from './scaled-qr.ts';

export interface LinearProblem {
  /** A row an observation, a column a parameter; a column of 1 is the intercept. */
  readonly design: readonly (readonly number[])[];
  readonly observed: readonly number[];
  /** k = 1, > 0, one an observation. Absent: equal and unknown, told from the residuals' own scatter. */
  readonly standardUncertainties?: readonly number[];
}

export interface LinearFit {
  readonly values: readonly number[];
  /** k = 1, from the observations' uncertainties if given, else from the residuals' scatter. */
  readonly standardUncertainties: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  readonly correlation: readonly (readonly number[])[];
  /** Observed minus fitted. */
  readonly residuals: readonly number[];
  /** In the observations' unit or, where uncertainties were given, relative to them: 1 is then what was claimed. 0 with no observation left over. */
  readonly residualStandardDeviation: number;
  /** Observations less parameters. */
  readonly degreesOfFreedom: number;
  /** Share of the scatter explained; about the mean where there is an intercept, else about 0. */
  readonly rSquared: number;
}

/** Rounding of a double over a few hundred observations. */
const RANK_TOLERANCE = 1e-13;
/** Each turn divides what rounding left by 10⁴ or more for any design that the rank test lets through. */
const REFINEMENTS = 3;

/**
 * @returns undefined where the parameters cannot be told apart from these observations, or where no observation is left
 *   over to tell the scatter though it is needed
 * @throws RangeError for lengths that do not match or an uncertainty not above 0 (caller's bug)
 */
export function weightedLinearFit({ design, observed, standardUncertainties }: LinearProblem): LinearFit | undefined {
  const columns = design[0]?.length ?? 0;
  checkLengths(design, observed, standardUncertainties);
  const degreesOfFreedom = observed.length - columns;
  if (columns === 0 || degreesOfFreedom < 0 || (degreesOfFreedom === 0 && !standardUncertainties)) return undefined;
  // Relative to the first, so that equal uncertainties leave the design exactly as given.
  const unit = standardUncertainties?.[0] ?? 1;
  const roots = observed.map((_, i) => unit / (standardUncertainties?.[i] ?? unit));
  const rows = design.map((row, i) => row.map((element) => element * at(roots, i)));
  const weighted = observed.map((y, i) => y * at(roots, i));
  const qr = scaledQr(new Matrix(rows), RANK_TOLERANCE);
  if (!qr) return undefined;
  const gains = qr.gains();
  const { values, residuals } = refined(rows, weighted, qr, gains);
  const squares = residuals.reduce((sum, r) => sum + r * r, 0);
  const scatter = degreesOfFreedom === 0 ? 0 : Math.sqrt(squares / degreesOfFreedom);
  const covariance = gains
    .mmul(gains.transpose())
    .mul((standardUncertainties ? unit : scatter) ** 2)
    .to2DArray();
  const u = covariance.map((row, j) => Math.sqrt(at(row, j)));
  return {
    values,
    standardUncertainties: u,
    covariance,
    correlation: covariance.map((row, i) => row.map((c, j) => (i === j ? 1 : correlationCoefficient(c, at(u, i) * at(u, j))))),
    residuals: residuals.map((r, i) => r / at(roots, i)),
    residualStandardDeviation: scatter / unit,
    degreesOfFreedom,
    rSquared: 1 - squares / scatterOf(weighted, roots, hasIntercept(design)),
  };
}

/**
 * Solution and weighted residuals to the last digits: both conditions of a least-squares solution (residuals are what is
 * left, and stand square to every column) are checked in twice the precision and what they lack is solved for again.
 * Source: Å. Björck, BIT 7 (1967) 257 (iterative refinement of the augmented system; from memory)
 */
function refined(rows: readonly (readonly number[])[], observed: readonly number[], qr: ScaledQr, gains: Matrix) {
  const columns = at(rows, 0).map((_, j) => rows.map((row) => at(row, j)));
  let values = qr.solve(observed);
  let residuals = rows.map((row, i) => -dotTwice(row, values, [at(observed, i)]));
  for (let turn = 0; turn < REFINEMENTS; turn++) {
    const left = rows.map((row, i) => -dotTwice(row, values, [at(observed, i), -at(residuals, i)]));
    const slanted = columns.map((column) => -dotTwice(column, residuals));
    const carried = gains.transpose().mmul(Matrix.columnVector(slanted)).to1DArray();
    const move = qr.solve(left.map((f, i) => f - at(carried, i)));
    values = values.map((value, j) => value + at(move, j));
    residuals = residuals.map((r, i) => r + at(left, i) - dotTwice(at(rows, i), move));
  }
  return { values, residuals };
}

/** Weighted squares about the weighted mean, or about 0. */
function scatterOf(weighted: readonly number[], roots: readonly number[], aboutMean: boolean): number {
  const weight = roots.reduce((sum, root) => sum + root * root, 0);
  const mean = aboutMean ? weighted.reduce((sum, y, i) => sum + y * at(roots, i), 0) / weight : 0;
  return weighted.reduce((sum, y, i) => sum + (y - mean * at(roots, i)) ** 2, 0);
}

const hasIntercept = (design: readonly (readonly number[])[]): boolean =>
  at(design, 0).some((first, j) => first !== 0 && design.every((row) => row[j] === first));

function checkLengths(
  design: readonly (readonly number[])[],
  observed: readonly number[],
  standardUncertainties: readonly number[] | undefined,
): void {
  if (observed.length !== design.length) throw new RangeError(`${observed.length} observations beside ${design.length} rows`);
  const odd = design.find((row) => row.length !== design[0]?.length);
  if (odd) throw new RangeError(`a row of ${odd.length} beside one of ${design[0]?.length}`);
  if (!standardUncertainties) return;
  if (standardUncertainties.length !== observed.length) {
    throw new RangeError(`${standardUncertainties.length} uncertainties beside ${observed.length} observations`);
  }
  const wrong = standardUncertainties.find((u) => !(u > 0));
  if (wrong !== undefined) throw new RangeError(`an observation's standard uncertainty is ${wrong}, expected above 0`);
}
