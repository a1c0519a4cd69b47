import { Matrix } from 'ml-matrix';
import { at } from './at.ts';
import { scaledQr } from './scaled-qr.ts';

/** A parameter vector, what is left of the observations there, and the sum of its squares. */
export interface Place {
  readonly values: readonly number[];
  readonly misfit: readonly number[];
  readonly cost: number;
}

export interface Move {
  readonly values: readonly number[];
  /** In units of the parameters' own uncertainty. */
  readonly length: number;
  /** Fall of the cost if the model were straight. */
  readonly promised: number;
}

/** Of a column's length: what the differences' own rounding leaves of two columns that are one. */
export const RANK_TOLERANCE = 1e-10;

/**
 * The move that brings the straightened model closest to the observations; damping holds each parameter back in
 * proportion to its scale, and lets one that has no hold at all stay where it is.
 * @param matrix  slope of the model, a row an observation
 * @param damping  0 for the full step
 * @returns undefined where the undamped parameters cannot be told apart
 * Source: J. J. Moré, Lecture Notes in Mathematics 630 (1978) 105, section 3 (from memory)
 */
export function moveFor(from: Place, matrix: Matrix, damping: number, scale: readonly number[]): Move | undefined {
  const root = Math.sqrt(damping);
  const held = damping === 0 ? [] : Matrix.diag(scale.map((length) => root * length)).to2DArray();
  const rows = held.length === 0 ? matrix : new Matrix([...matrix.to2DArray(), ...held]);
  const qr = scaledQr(rows, damping === 0 ? RANK_TOLERANCE : 0);
  if (!qr) return undefined;
  const values = qr.solve([...from.misfit, ...held.map(() => 0)]);
  const length = matrix.mmul(Matrix.columnVector([...values])).norm();
  const restraint = values.reduce((sum, value, j) => sum + damping * (value * at(scale, j)) ** 2, 0);
  return { values, length, promised: length ** 2 + 2 * restraint };
}
