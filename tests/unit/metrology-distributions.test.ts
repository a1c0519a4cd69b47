import { describe, expect, test } from 'vitest';
import {
  arcsineStandardUncertainty,
  type Distribution,
  digitStandardUncertainty,
  distributionStandardUncertainty,
  monteCarlo,
  rectangularStandardUncertainty,
  triangularStandardUncertainty,
} from '../../host/metrology/index.ts';

// JCGM 100:2008: 4.3.7, 4.3.9, H.1.3.4 and F.2.2.1, of a half width (a whole step for the digit) of 1.
test('divisors of bounded quantities', () => {
  expect(rectangularStandardUncertainty(1)).toBeCloseTo(0.57735, 6);
  expect(triangularStandardUncertainty(1)).toBeCloseTo(0.408248, 6);
  expect(arcsineStandardUncertainty(1)).toBeCloseTo(1 / Math.sqrt(2), 12);
  expect(digitStandardUncertainty(1)).toBeCloseTo(0.288675, 6);
  // A digit's step is a rectangle twice its half width.
  expect(digitStandardUncertainty(2)).toBeCloseTo(rectangularStandardUncertainty(1), 15);
});

const same = (x: number) => x;
const OPTIONS = { trials: 200_000, seed: 7 };

describe('what is drawn has the spread, the ends and the middle of its distribution', () => {
  // 95 % of the distribution between these: closed forms; t of 5 degrees of freedom from table G.2, 2.5706.
  const cases: readonly (readonly [Distribution, number])[] = [
    [{ kind: 'normal', value: 3, standardUncertainty: 2 }, 1.959964 * 2],
    [{ kind: 'rectangular', value: 3, halfWidth: 2 }, 0.95 * 2],
    [{ kind: 'triangular', value: 3, halfWidth: 2 }, (1 - Math.sqrt(0.05)) * 2],
    [{ kind: 'arcsine', value: 3, halfWidth: 2 }, Math.sin((0.95 * Math.PI) / 2) * 2],
    [{ kind: 't', value: 3, scale: 2, degreesOfFreedom: 5 }, 2.5706 * 2],
  ];
  for (const [distribution, halfWidth95] of cases) {
    test(distribution.kind, () => {
      const found = monteCarlo(same, [distribution], OPTIONS);
      const u = distributionStandardUncertainty(distribution);
      // Four standard errors: u/√n of the mean, and of u and the ends 2 % even for the tails of t.
      expect(Math.abs(found.mean - 3)).toBeLessThan((4 * u) / Math.sqrt(OPTIONS.trials));
      expect(Math.abs(found.standardUncertainty / u - 1)).toBeLessThan(0.02);
      expect(Math.abs((3 - found.symmetric[0]) / halfWidth95 - 1)).toBeLessThan(0.02);
      expect(Math.abs((found.symmetric[1] - 3) / halfWidth95 - 1)).toBeLessThan(0.02);
    });
  }

  test('bounds are kept', () => {
    for (const kind of ['rectangular', 'triangular', 'arcsine'] as const) {
      const seen: number[] = [];
      monteCarlo(
        (x) => {
          seen.push(x);
          return x;
        },
        [{ kind, value: 0, halfWidth: 1 }],
        { trials: 50_000, seed: 3 },
      );
      const furthest = seen.reduce((far, x) => Math.max(far, Math.abs(x)), 0);
      expect(furthest).toBeLessThanOrEqual(1);
      expect(furthest).toBeGreaterThan(0.98);
    }
  });

  test('t of 2 degrees of freedom has no standard deviation', () => {
    expect(distributionStandardUncertainty({ kind: 't', value: 0, scale: 1, degreesOfFreedom: 2 })).toBe(Number.POSITIVE_INFINITY);
  });
});
