/**
 * Inputs known together with their correlation matrix.
 *
 * The matrix is factored (Cholesky) into independent inputs, the only kind an estimate carries: the first is the first
 * quantity itself, each further one is what its quantity varies by besides those before it. So a budget stays a list of
 * independent terms whose shares add up to 1, and propagation needs no covariance matrix. Order the quantities so that
 * the ones to be blamed first come first; one of which hardly anything new is left is taken later.
 */
import { at } from './at.ts';
import { type Estimate, exact, finiteDegreesOfFreedom, type Term } from './estimate.ts';

export interface CorrelatedInput {
  readonly name: string;
  readonly unit: string;
  readonly value: number;
  /** k = 1, ≥ 0. */
  readonly standardUncertainty: number;
}

type Matrix = readonly (readonly number[])[];

/** Of an input's variance: with less left, its turn waits for those with more, lest rounding be magnified. */
const TURN_MIN = 1e-4;
/** Of an input's variance: nothing is left, or rounding has taken it below 0. */
const ROUNDING = 1e-10;

/**
 * @param correlation  symmetric, 1 on the diagonal, a row and a column an input; fully correlated inputs are allowed
 * @param degreesOfFreedom  of all of them together, where they were observed together; default infinite
 * @returns the inputs as estimates, in the order given
 * @throws RangeError for a matrix that is no correlation matrix (caller's bug)
 * Source: JCGM 100:2008, 5.2; factoring as in JCGM 101:2008, 6.4.8.2 and C.5
 */
export function correlatedInputs(
  inputs: readonly CorrelatedInput[],
  correlation: Matrix,
  degreesOfFreedom = Number.POSITIVE_INFINITY,
): readonly Estimate[] {
  const set = inputs.map((each) => each.name).join(', ');
  const freedom = finiteDegreesOfFreedom(set, degreesOfFreedom);
  check(inputs, correlation);
  const sources = factored(correlation).map(({ index, shares }, turn, all) => {
    const { name, unit, value, standardUncertainty } = at(inputs, index);
    const before = all.slice(0, turn).map((earlier) => at(inputs, earlier.index).name);
    return {
      input: before.length === 0 ? name : `${name} apart from ${before.join(', ')}`,
      unit,
      value,
      standardUncertainty: at(shares, index) * standardUncertainty,
      shares,
    };
  });
  return inputs.map(({ value, standardUncertainty }, row) => {
    if (standardUncertainty === 0) return exact(value);
    const terms = sources.flatMap(({ shares, ...source }): Term[] => {
      const contribution = at(shares, row) * standardUncertainty;
      if (contribution === 0 || source.standardUncertainty === 0) return [];
      return [{ ...source, sensitivity: contribution / source.standardUncertainty, ...freedom, set }];
    });
    return { value, terms };
  });
}

interface Source {
  /** Of the input that it is named after. */
  readonly index: number;
  /** What each input has of it, in its own standard uncertainties. */
  readonly shares: readonly number[];
}

/** Cholesky factor by columns, each pivot the first input that has enough left, or else the one that has most. */
function factored(correlation: Matrix): readonly Source[] {
  const sources: Source[] = [];
  let left = correlation;
  for (const _ of correlation) {
    const variances = left.map((row, i) => at(row, i));
    const enough = variances.findIndex((v) => v >= TURN_MIN);
    const index = enough >= 0 ? enough : variances.indexOf(Math.max(...variances));
    const pivot = at(variances, index);
    if (pivot < ROUNDING) break;
    const column = left.map((row) => at(row, index));
    const taken = sources.map((source) => source.index);
    const shares = column.map((c, i) => (taken.includes(i) ? 0 : c / Math.sqrt(pivot)));
    // What has had its turn has nothing left, to the last bit.
    const settled = [...taken, index];
    left = left.map((row, i) => row.map((r, j) => (settled.includes(i) || settled.includes(j) ? 0 : r - at(shares, i) * at(shares, j))));
    if (left.some((row, i) => at(row, i) < -ROUNDING)) throw impossible();
    sources.push({ index, shares });
  }
  // An input without variance cannot go along with another.
  if (left.some((row) => row.some((r) => Math.abs(r) > 10 * ROUNDING))) throw impossible();
  return sources;
}

const impossible = (): RangeError =>
  new RangeError('correlation matrix: no quantities can be so correlated (it is not positive semi-definite)');

function check(inputs: readonly CorrelatedInput[], correlation: Matrix): void {
  const square = correlation.length === inputs.length && correlation.every((row) => row.length === inputs.length);
  if (!square) throw new RangeError(`correlation matrix: expected ${inputs.length} rows and columns`);
  for (const [i, row] of correlation.entries()) {
    for (const [j, r] of row.entries()) {
      const place = `correlation [${i}][${j}] is ${r}`;
      if (!(Math.abs(r) <= 1)) throw new RangeError(`${place}, expected −1 to 1`);
      if (i === j && r !== 1) throw new RangeError(`${place}, expected 1`);
      if (r !== correlation[j]?.[i]) throw new RangeError(`${place}, its mirror image ${correlation[j]?.[i]}`);
      const alone = at(inputs, i).standardUncertainty === 0 || at(inputs, j).standardUncertainty === 0;
      if (i !== j && r !== 0 && alone) throw new RangeError(`${place}, of an exact input`);
    }
  }
}
