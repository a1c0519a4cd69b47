/** The polynomial of the lowest degree that has given values and given integrals. */

export interface Polynomial {
  readonly value: (x: number) => number;
  /** From 0. */
  readonly integral: (x: number) => number;
}

export interface ValueAt {
  readonly at: number;
  readonly value: number;
}

export interface IntegralOver {
  readonly from: number;
  readonly to: number;
  readonly integral: number;
}

/** @returns undefined where the conditions contradict each other or say the same twice; a handful of them at most */
export function polynomialBy(values: readonly ValueAt[], integrals: readonly IntegralOver[]): Polynomial | undefined {
  const size = values.length + integrals.length;
  const powers = Array.from({ length: size }, (_, k) => k);
  const rows = [
    ...values.map(({ at, value }) => [...powers.map((k) => at ** k), value]),
    ...integrals.map(({ from, to, integral }) => [...powers.map((k) => (to ** (k + 1) - from ** (k + 1)) / (k + 1)), integral]),
  ];
  const factors = solved(rows);
  return (
    factors && {
      value: (x) => factors.reduceRight((sum, factor) => sum * x + factor, 0),
      integral: (x) => x * factors.reduceRight((sum, factor, k) => sum * x + factor / (k + 1), 0),
    }
  );
}

/** Smaller, a pivot is what rounding left of nothing. */
const PIVOT_MIN = 1e-12;

/** Gaussian elimination with row pivoting. @param rows  of the equations, each with its right side last */
function solved(rows: readonly (readonly number[])[]): readonly number[] | undefined {
  const work = rows.map((row) => [...row]);
  const size = work.length;
  for (let k = 0; k < size; k++) {
    const below = work.slice(k);
    const best = below.reduce((most, row, i) => (Math.abs(row[k] ?? 0) > Math.abs(below[most]?.[k] ?? 0) ? i : most), 0);
    const pivot = work.splice(k + best, 1)[0] ?? [];
    if (!(Math.abs(pivot[k] ?? 0) > PIVOT_MIN)) return undefined;
    work.splice(k, 0, pivot);
    work.forEach((row, i) => {
      if (i === k) return;
      const factor = (row[k] ?? 0) / (pivot[k] ?? 1);
      for (let column = k; column <= size; column++) row[column] = (row[column] ?? 0) - factor * (pivot[column] ?? 0);
    });
  }
  return work.map((row, k) => (row[size] ?? 0) / (row[k] ?? 1));
}
