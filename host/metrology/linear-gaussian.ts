/** Linear regression with prior knowledge, whole: what the coefficients then are, and how well it all explains what was observed. */
import { CholeskyDecomposition, Matrix } from 'ml-matrix';
import { at } from './at.ts';

export interface LinearGaussian {
  /** Of the coefficients. */
  readonly mean: readonly number[];
  readonly covariance: readonly (readonly number[])[];
  /** Natural logarithm of the density of what was observed, but for the constant of 2π. */
  readonly logEvidence: number;
}

/**
 * Observations are row · coefficients + error; each coefficient is standard normal beforehand, each error normal.
 * @param rows  one an observation, as long as there are coefficients
 * @param observed  as many as rows
 * @param variances  of the errors, > 0
 * @throws Error where rows or observations are not finite (caller's bug)
 * Source: normal–normal conjugacy, A = I + XᵀS⁻¹X, mean = A⁻¹XᵀS⁻¹y, and the evidence by completing the square;
 * Rasmussen & Williams, Gaussian Processes for Machine Learning (2006), eqs (2.8) and (2.30), from memory
 */
export function linearGaussian(
  rows: readonly (readonly number[])[],
  observed: readonly number[],
  variances: readonly number[],
): LinearGaussian {
  const size = rows[0]?.length ?? 0;
  const precision = Array.from({ length: size }, (_, j) => new Float64Array(size).fill(0).map((_v, k) => (j === k ? 1 : 0)));
  const pull = new Float64Array(size);
  let squares = 0;
  let logVariances = 0;
  for (const [i, row] of rows.entries()) {
    const weight = 1 / at(variances, i);
    const y = at(observed, i);
    squares += weight * y * y;
    logVariances -= Math.log(weight);
    for (let j = 0; j < size; j++) {
      const scaled = weight * (row[j] as number);
      const into = precision[j] as Float64Array;
      for (let k = 0; k <= j; k++) into[k] = (into[k] as number) + scaled * (row[k] as number);
      pull[j] = (pull[j] as number) + scaled * y;
    }
  }
  for (let j = 0; j < size; j++) for (let k = 0; k < j; k++) (precision[k] as Float64Array)[j] = at(precision, j)[k] as number;
  const cholesky = new CholeskyDecomposition(new Matrix(precision.map((row) => [...row])));
  const covariance = cholesky.solve(Matrix.eye(size));
  const mean = covariance.mmul(Matrix.columnVector([...pull])).to1DArray();
  const logDeterminant = 2 * cholesky.lowerTriangularMatrix.diagonal().reduce((sum, d) => sum + Math.log(d), 0);
  const explained = mean.reduce((sum, m, j) => sum + m * (pull[j] as number), 0);
  return { mean, covariance: covariance.to2DArray(), logEvidence: -0.5 * (logVariances + logDeterminant + squares - explained) };
}

/** row · covariance · row */
export function varianceAlong({ covariance }: Pick<LinearGaussian, 'covariance'>, row: readonly number[]): number {
  return covarianceAlong({ covariance }, row, row);
}

/** row · covariance · other */
export function covarianceAlong(
  { covariance }: Pick<LinearGaussian, 'covariance'>,
  row: readonly number[],
  other: readonly number[],
): number {
  let sum = 0;
  for (let j = 0; j < row.length; j++) {
    const weight = row[j] as number;
    if (weight === 0) continue;
    const along = covariance[j] as readonly number[];
    let inner = 0;
    for (let k = 0; k < other.length; k++) inner += (along[k] as number) * (other[k] as number);
    sum += weight * inner;
  }
  return sum;
}
