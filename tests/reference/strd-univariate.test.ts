/** Mean and standard deviation of repeated observations against NIST's certified values. */
import { expect, test } from 'vitest';
import { meanOf } from '../../host/metrology/index.ts';
import { digits } from '../support/digits.ts';
import { UNIVARIATE } from './fixtures/nist-strd.ts';

for (const name of ['Michelso', 'NumAcc1'] as const) {
  const set = UNIVARIATE[name];
  test(`${name}: 10 digits`, () => {
    const mean = meanOf(set.y);
    expect(digits([mean.value], [set.mean])).toBeGreaterThan(14);
    expect(digits([mean.standardDeviation], [set.sd])).toBeGreaterThan(10);
    expect(mean.degreesOfFreedom).toBe(set.y.length - 1);
  });
}

// The tenths of these are no binary numbers: as read, the spread itself is off by a part in 10⁹ (NumAcc3), 10⁸ (NumAcc4).
// A sum of squares in one pass has none of the digits of NumAcc4 right.
for (const [name, tolerance] of [
  ['NumAcc3', 9],
  ['NumAcc4', 8],
] as const) {
  const set = UNIVARIATE[name];
  test(`${name}: ${tolerance} digits of a small spread about a large value`, () => {
    const mean = meanOf([set.first, ...Array.from({ length: set.repeats }, () => set.pair).flat()]);
    expect(digits([mean.value], [set.mean])).toBeGreaterThan(15);
    expect(digits([mean.standardDeviation], [set.sd])).toBeGreaterThan(tolerance);
  });
}
