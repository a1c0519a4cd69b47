/** JCGM 100:2008, H.1: calibration of an end gauge, from the standard's certificate to the 99 % interval. */
import { describe, expect, test } from 'vitest';
import {
  arcsineStandardUncertainty,
  coverageFactor,
  derive,
  effectiveDegreesOfFreedom,
  expandedUncertainty,
  input,
  monteCarlo,
  rectangularStandardUncertainty,
  secondOrderUncertainty,
  standardUncertainty,
} from '../../host/metrology/index.ts';
import { expectClose } from '../support/known.ts';
import { END_GAUGE } from './fixtures/gum-examples.ts';

const { standard, difference, expansion, temperature, expansionDifference, temperatureDifference, published, full } = END_GAUGE;
const bounded = ({
  value,
  halfWidth,
  ...rest
}: {
  readonly value: number;
  readonly halfWidth: number;
  readonly degreesOfFreedom?: number;
}) => ({
  value,
  standardUncertainty: rectangularStandardUncertainty(halfWidth),
  ...rest,
});

const lengthModel = (ls: number, d: number, alpha: number, theta: number, dAlpha: number, dTheta: number) =>
  ls + d - ls * (dAlpha * theta + alpha * dTheta);

const LS = input('standard', 'nm', standard);
const D = derive(
  (d, a, b, c) => d + a + b + c,
  input('difference', 'nm', { value: difference.value, standardUncertainty: 0 }),
  input('repeatability', 'nm', { value: 0, ...difference.repeatability }),
  input('comparator, random', 'nm', { value: 0, ...difference.comparatorRandom }),
  input('comparator, systematic', 'nm', { value: 0, ...difference.comparatorSystematic }),
);
const ALPHA = input('expansion', '1/K', bounded(expansion));
const THETA = derive(
  (mean, cycle) => mean + cycle,
  input('mean temperature', 'K', temperature),
  input('temperature cycle', 'K', { value: 0, standardUncertainty: arcsineStandardUncertainty(temperature.cycleHalfWidth) }),
);
const D_ALPHA = input('difference of expansion', '1/K', bounded(expansionDifference));
const D_THETA = input('difference of temperature', 'K', bounded(temperatureDifference));
const INPUTS = [LS, D, ALPHA, THETA, D_ALPHA, D_THETA] as const;
const LENGTH = derive(lengthModel, ...INPUTS);

describe('GUM H.1, end gauge', () => {
  test('length and combined uncertainty, to the published digits and to all digits of the same inputs', () => {
    expect(LENGTH.value / 1e6).toBeCloseTo(published.lengthMm, 9);
    expect(standardUncertainty(LENGTH)).toBeCloseTo(published.u, 0);
    expectClose([standardUncertainty(LENGTH)], [full.u], 1e-6);
  });

  test('component by component', () => {
    const of = (...names: string[]) =>
      Math.hypot(...LENGTH.terms.filter((t) => names.includes(t.input)).map((t) => t.sensitivity * t.standardUncertainty));
    const components = [
      of('standard'),
      of('repeatability', 'comparator, random', 'comparator, systematic'),
      of('difference of expansion'),
      of('difference of temperature'),
    ];
    expectClose(components, full.components, 1e-6);
    // Published 25, 9.7, 2.9 and 16.6 nm. The expansion and the temperature count for nothing: their partners are 0.
    expect(components.map((c) => Number(c.toFixed(1)))).toEqual([25, 9.7, 2.9, 16.6]);
    expect(of('expansion', 'mean temperature', 'temperature cycle')).toBeLessThan(1e-6);
  });

  test('effective degrees of freedom, t and the 99 % interval', () => {
    expectClose([effectiveDegreesOfFreedom(D)], [full.degreesOfFreedomDifference], 1e-5);
    // The GUM's 16.7 comes from components rounded on the way; it then cuts off to 16, where we keep 16.75.
    const degreesOfFreedom = effectiveDegreesOfFreedom(LENGTH);
    expectClose([degreesOfFreedom], [full.degreesOfFreedom], 1e-5);
    expect(Math.abs(degreesOfFreedom - published.degreesOfFreedom)).toBeLessThan(0.1);
    expect(coverageFactor(0.99, Math.floor(degreesOfFreedom))).toBeCloseTo(published.t99, 2);
    // Cut off to 16 and nothing else rounded: 2.920782 × 31.66388, computed outside this project.
    expectClose([coverageFactor(0.99, 16) * standardUncertainty(LENGTH)], [92.483], 1e-5);
    // 2.92 × 31.66 = 92.5, published 93 from 2.92 × 32; our t at 16.75 instead of 16 is 2.905.
    expect(Math.abs(expandedUncertainty(LENGTH, 0.99) - published.expanded99)).toBeLessThan(1.1);
  });

  test('what the first order leaves out', () => {
    const beyond = secondOrderUncertainty(lengthModel, ...INPUTS);
    expectClose([beyond], [Math.hypot(...full.secondOrder)], 1e-5);
    expect(Math.hypot(standardUncertainty(LENGTH), beyond)).toBeCloseTo(published.uSecondOrder, 0);
    expectClose([Math.hypot(standardUncertainty(LENGTH), beyond)], [full.uSecondOrder], 1e-5);
  });

  test('Monte Carlo finds the second-order result, not the first', () => {
    // Every input as a normal distribution: only variances are compared. 10⁵ trials give u to 0.25 % (k = 1).
    const drawn = INPUTS.map((each) => ({ kind: 'normal', value: each.value, standardUncertainty: standardUncertainty(each) }) as const);
    const { standardUncertainty: u } = monteCarlo(lengthModel, drawn, { trials: 100_000, seed: 1 });
    expectClose([u], [full.uSecondOrder], 0.01);
    expect(u / full.u).toBeGreaterThan(1.05);
  });
});
