import { Matrix, QrDecomposition } from 'ml-matrix';

/**
 * Least squares by Householder reflections, each column scaled to length 1 first: times in ns beside velocities in m/s,
 * or the powers of a polynomial, differ by many powers of ten. Never forms the normal matrix, which would square the
 * condition number and cost half the digits.
 */
export interface ScaledQr {
  /** The move that brings the right-hand side closest to 0. */
  solve(rightHandSide: readonly number[]): readonly number[];
  /** One row a column of the matrix: how its solution changes with each element of the right-hand side. */
  gains(): Matrix;
  readonly lengths: readonly number[];
}

/**
 * @param rankTolerance  a column closer than this, relative to its length, to those before it counts as one of them
 * @returns undefined for columns that do not stand apart, are empty or not finite, or outnumber the rows
 */
export function scaledQr(matrix: Matrix, rankTolerance: number): ScaledQr | undefined {
  const { rows, columns } = matrix;
  if (rows < columns) return undefined;
  const lengths = Array.from({ length: columns }, (_, j) => matrix.getColumnVector(j).norm());
  if (lengths.some((length) => !(length > 0 && Number.isFinite(length)))) return undefined;
  const inverse = lengths.map((length) => 1 / length);
  const qr = new QrDecomposition(matrix.clone().mulRowVector(inverse));
  const apart = qr.upperTriangularMatrix.diagonal().every((d) => Math.abs(d) > rankTolerance);
  if (!apart) return undefined;
  return {
    lengths,
    solve: (rightHandSide) =>
      qr
        .solve(Matrix.columnVector([...rightHandSide]))
        .mulColumnVector(inverse)
        .to1DArray(),
    gains: () => qr.solve(Matrix.eye(rows)).mulColumnVector(inverse),
  };
}
