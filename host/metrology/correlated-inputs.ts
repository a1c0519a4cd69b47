/**
 * Inputs known together with their correlation matrix.
 *
 * The matrix is factored (Cholesky) into independent inputs, the only kind an estimate carries: the first is the first
 * quantity itself, each further one is what its quantity varies by besides those before it. So a budget stays a list of
 * independent terms whose shares add up to 1, and propagation needs no covariance matrix. Order the quantities so that
 * the ones to be blamed first come first.
 */
import { type Estimate, exact, finiteDegreesOfFreedom, type Term } from './estimate.ts';

export interface CorrelatedInput {
  readonly name: string;
  readonly unit: string;
  readonly value: number;
  /** k = 1, ≥ 0. */
  readonly standardUncertainty: number;
}

/** A correlation as printed may miss being possible by its rounding alone; by no more than this. */
const ROUNDING = 1e-9;

/**
 * @param correlation  symmetric, 1 on the diagonal, a row and a column an input; fully correlated inputs are allowed
 * @param degreesOfFreedom  of all of them together, where they were observed together; default infinite
 * @returns the inputs as estimates, in the order given
 * @throws RangeError for a matrix that is no correlation matrix (caller's bug)
 * Source: JCGM 100:2008, 5.2; factoring as in JCGM 101:2008, 6.4.8.2 and C.5
 */
export function correlatedInputs(
  inputs: readonly CorrelatedInput[],
  correlation: readonly (readonly number[])[],
  degreesOfFreedom = Number.POSITIVE_INFINITY,
): readonly Estimate[] {
  const set = inputs.map((each) => each.name).join(', ');
  const freedom = finiteDegreesOfFreedom(set, degreesOfFreedom);
  const factor = cholesky(inputs.length, correlation);
  return inputs.map(({ value, standardUncertainty }, row) => {
    if (standardUncertainty === 0) {
      if (correlation[row]?.some((r, column) => column !== row && r !== 0))
        throw new RangeError(`input ${set}: an exact one has a correlation`);
      return exact(value);
    }
    const terms = inputs.flatMap((source, column): Term[] => {
      const share = factor[row]?.[column] ?? 0;
      // What is left of the source beside the inputs before it, in its own unit.
      const own = (factor[column]?.[column] ?? 0) * source.standardUncertainty;
      if (share === 0 || own === 0) return [];
      const before = inputs.slice(0, column).map((each) => each.name);
      const name = before.length === 0 ? source.name : `${source.name} apart from ${before.join(', ')}`;
      const sensitivity = (share * standardUncertainty) / own;
      return [{ input: name, unit: source.unit, value: source.value, standardUncertainty: own, sensitivity, ...freedom, set }];
    });
    return { value, terms };
  });
}

/** Lower triangular, its product with its transpose is the matrix; a column of 0 where nothing new is left. */
function cholesky(size: number, matrix: readonly (readonly number[])[]): readonly (readonly number[])[] {
  const at = (i: number, j: number): number => {
    const value = matrix[i]?.[j];
    if (value === undefined || !(Math.abs(value) <= 1)) throw new RangeError(`correlation [${i}][${j}] is ${value}, expected −1 to 1`);
    return value;
  };
  const factor: number[][] = [];
  for (let i = 0; i < size; i++) {
    const row: number[] = [];
    if (at(i, i) !== 1) throw new RangeError(`correlation [${i}][${i}] is ${at(i, i)}, expected 1`);
    for (let j = 0; j < i; j++) {
      if (at(i, j) !== at(j, i)) throw new RangeError(`correlation [${i}][${j}] ${at(i, j)} differs from [${j}][${i}] ${at(j, i)}`);
      const above = factor[j] as number[];
      const rest = at(i, j) - dot(row, above, j);
      const pivot = above[j] as number;
      if (pivot === 0 && Math.abs(rest) > Math.sqrt(ROUNDING)) throw impossible(i, j);
      row.push(pivot === 0 ? 0 : rest / pivot);
    }
    const rest = 1 - dot(row, row, i);
    if (rest < -ROUNDING) throw impossible(i, i);
    row.push(rest < ROUNDING ? 0 : Math.sqrt(rest));
    factor.push(row);
  }
  return factor;
}

function dot(a: readonly number[], b: readonly number[], length: number): number {
  let sum = 0;
  for (let k = 0; k < length; k++) sum += (a[k] as number) * (b[k] as number);
  return sum;
}

const impossible = (i: number, j: number): RangeError =>
  new RangeError(`correlation matrix at [${i}][${j}]: no quantities can be so correlated (not positive semi-definite)`);
