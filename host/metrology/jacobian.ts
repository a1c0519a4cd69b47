import { Matrix } from 'ml-matrix';
import { at } from './at.ts';

/** Cube root of a double's rounding: where what a central difference cuts off and what it rounds away are equally small. */
const RELATIVE_STEP = 6e-6;
/** Of a parameter's scale: below this it counts as near 0. A start may be far out, so the value itself counts where it can. */
const NEAR_ZERO = 1e-2;

/**
 * Partial derivatives of the predictions, a row a prediction, a column a parameter, by central differences.
 * @param steps  one a parameter; undefined takes one from the parameter's size
 * @param scales  a size for parameters that happen to be near 0
 */
export function jacobianByDifferences(
  predict: (parameters: readonly number[]) => readonly number[],
  values: readonly number[],
  steps: readonly (number | undefined)[],
  scales: readonly number[],
): Matrix {
  const columns = values.map((value, j) => {
    const wanted = steps[j] ?? RELATIVE_STEP * Math.max(Math.abs(value), NEAR_ZERO * at(scales, j));
    // The step that is really taken, after rounding, is the one to divide by.
    const above = value + wanted;
    const below = value - wanted;
    const up = predict(values.with(j, above));
    const down = predict(values.with(j, below));
    return up.map((u, i) => (u - at(down, i)) / (above - below));
  });
  return new Matrix(columns).transpose();
}
