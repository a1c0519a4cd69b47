/**
 * Significant digits that the worst of some values shares with the published ones (NIST's log relative error; of a
 * published 0 the log absolute error). At most 16.
 */
export function digits(values: readonly number[], published: readonly number[]): number {
  if (values.length !== published.length) throw new RangeError(`${values.length} values beside ${published.length}`);
  const errors = values.map((value, i) => {
    const expected = published[i] as number;
    return Math.abs(value - expected) / (expected === 0 ? 1 : Math.abs(expected));
  });
  const worst = errors.some(Number.isNaN) ? Number.NaN : Math.max(...errors);
  return Math.min(16, -Math.log10(worst));
}
