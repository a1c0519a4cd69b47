/** JCGM 100:2008, annex G: effective degrees of freedom, Student's t and intervals. */
import { describe, expect, test } from 'vitest';
import {
  coverageFactor,
  derive,
  type Estimate,
  effectiveDegreesOfFreedom,
  expandedUncertainty,
  input,
  standardUncertainty,
} from '../../host/metrology/index.ts';
import { expectClose, known } from '../support/known.ts';
import { PRODUCT_OF_THREE, STUDENT_T } from './fixtures/gum-examples.ts';

describe('GUM G.4.1, Y = bX1X2X3 (published figures from memory, arithmetic verified)', () => {
  const { relativeUncertainties, observations, published, full } = PRODUCT_OF_THREE;
  const factors = relativeUncertainties.map((standardUncertainty, k) =>
    input(`X${k + 1}`, '1', { value: 1, standardUncertainty, degreesOfFreedom: known(observations[k]) - 1 }),
  );
  const product = derive((a, b, c) => a * b * c, ...(factors as [Estimate, Estimate, Estimate]));

  test('18.9987 degrees of freedom and t = 2.09: kept as they are, neither cut off to 18 nor rounded to 19', () => {
    expectClose([standardUncertainty(product)], [full.u], 1e-6);
    const degreesOfFreedom = effectiveDegreesOfFreedom(product);
    expectClose([degreesOfFreedom], [full.degreesOfFreedom], 1e-6);
    expect(coverageFactor(0.95, degreesOfFreedom).toFixed(2)).toBe(published.t95.toFixed(2));
    // What cutting off would have given.
    expect(coverageFactor(0.95, Math.floor(degreesOfFreedom)).toFixed(2)).toBe('2.10');
    expect(expandedUncertainty(product, 0.95)).toBeCloseTo(published.expanded95, 3);
  });
});

describe('GUM table G.2', () => {
  for (const [degreesOfFreedom, row] of STUDENT_T.rows) {
    test(`t for ${degreesOfFreedom} degrees of freedom, to the four digits of the table`, () => {
      for (const [k, t] of row.entries()) {
        // 5e-5 is the rounding of the table, four decimals; the two σ-columns of the first row ask a little more.
        const percent = known(STUDENT_T.percent[k]);
        expect(Math.abs(coverageFactor(percent / 100, degreesOfFreedom) - t), `${percent} %`).toBeLessThan(Math.max(1e-4, 1e-5 * t));
      }
    });
  }

  test('t falls steadily between whole degrees of freedom and ends at the normal distribution', () => {
    const steps = Array.from({ length: 400 }, (_, k) => coverageFactor(0.95, 1 + k / 10));
    for (const [k, t] of steps.entries()) if (k > 0) expect(t).toBeLessThan(known(steps[k - 1]));
    expect(coverageFactor(0.95, 1e9) - coverageFactor(0.95)).toBeGreaterThan(0);
    expect(coverageFactor(0.95, 1e9) - coverageFactor(0.95)).toBeLessThan(1e-8);
  });
});

test('an uncertainty that nobody doubts has no end of degrees of freedom, and 1.96', () => {
  const beyondDoubt = input('x', 'm', { value: 1, standardUncertainty: 0.1 });
  expect(effectiveDegreesOfFreedom(beyondDoubt)).toBe(Number.POSITIVE_INFINITY);
  expect(expandedUncertainty(beyondDoubt)).toBeCloseTo(0.1959964, 7);
});
