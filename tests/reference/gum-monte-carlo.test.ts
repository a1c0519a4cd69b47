/** JCGM 101:2008, 9.2 and 9.3, and two examples beside it: propagation of distributions against printed results. */
import { describe, expect, test } from 'vitest';
import {
  combine,
  type Distribution,
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
import { DISTRIBUTIONS, EXPANSION, LOGARITHM } from './fixtures/gum-examples.ts';

// 400,000 trials: u to 0.11 %, an end of a 95 % interval to about 0.35 % of its half width (k = 1). The tolerances are
// three to four of these; seeds are fixed, so a run either always passes or never.
const OPTIONS = { trials: 400_000, seed: 101 };
const sum = (...x: number[]) => x.reduce((total, each) => total + each, 0);
const four = (each: Distribution): readonly Distribution[] => [each, each, each, each];
const normal: Distribution = { kind: 'normal', value: 0, standardUncertainty: 1 };
const rectangle = (u: number): Distribution => ({ kind: 'rectangular', value: 0, halfWidth: u * Math.sqrt(3) });

describe('JCGM 101, 9.2, sum of four', () => {
  test('9.2.2: normal, u 2.00, 95 % within ±3.92', () => {
    const found = monteCarlo(sum, four(normal), OPTIONS);
    expect(Math.abs(found.mean)).toBeLessThan(0.012);
    expectClose([found.standardUncertainty], [DISTRIBUTIONS.fourNormal.u], 0.004);
    for (const [low, high] of [found.symmetric, found.shortest]) {
      expectClose([-low, high], [DISTRIBUTIONS.fourNormal.halfWidth95, DISTRIBUTIONS.fourNormal.halfWidth95], 0.015);
    }
  });

  test('9.2.3: rectangular, u 2.00, 95 % within ±3.88: first order would say ±3.92', () => {
    const found = monteCarlo(sum, four(rectangle(1)), OPTIONS);
    expectClose([found.standardUncertainty], [DISTRIBUTIONS.fourRectangular.u], 0.004);
    const halfWidth = (found.symmetric[1] - found.symmetric[0]) / 2;
    expectClose([halfWidth], [DISTRIBUTIONS.fourRectangular.halfWidth95], 0.005);
    expect(DISTRIBUTIONS.fourNormal.halfWidth95 - halfWidth).toBeGreaterThan(0.025);
  });

  test('9.2.4 (printed figures from memory): one rectangle ten times wider, ±17.0 where first order says ±19.9', () => {
    const { u, firstOrderHalfWidth95, halfWidth95 } = DISTRIBUTIONS.oneWideRectangle;
    const found = monteCarlo(sum, [rectangle(10), rectangle(1), rectangle(1), rectangle(1)], OPTIONS);
    expectClose([found.standardUncertainty], [u], 0.004);
    expect((found.symmetric[1] - found.symmetric[0]) / 2).toBeCloseTo(halfWidth95, 0);
    expectClose([(found.symmetric[1] - found.symmetric[0]) / 2], [halfWidth95], 0.005);
    const [wide, ...rest] = [10, 1, 1, 1].map((each, k) => input(`x${k}`, '1', { value: 0, standardUncertainty: each }));
    const first = combine(
      0,
      [wide, ...rest].flatMap((of) => (of ? [{ of, partial: 1 }] : [])),
    );
    expectClose([expandedUncertainty(first)], [firstOrderHalfWidth95], 1e-4);
  });
});

describe('JCGM 101, 9.3, mass calibration (inputs verified, printed results from memory and recomputed)', () => {
  const { reference, balance, airDensity, weightDensity, referenceDensity, published, full } = DISTRIBUTIONS.mass;
  const model = (mR: number, dm: number, rhoA: number, rhoW: number, rhoR: number) =>
    (mR + dm) * (1 + (rhoA - 1.2) * (1 / rhoW - 1 / rhoR)) - 100_000;

  test('Monte Carlo: u 0.0754 mg, interval 1.0834 to 1.3825', () => {
    const found = monteCarlo(
      model,
      [
        { kind: 'normal', ...reference },
        { kind: 'normal', ...balance },
        { kind: 'rectangular', ...airDensity },
        { kind: 'rectangular', ...weightDensity },
        { kind: 'rectangular', ...referenceDensity },
      ],
      OPTIONS,
    );
    expect(Math.abs(found.mean - published.mean)).toBeLessThan(0.0005);
    expect(Math.abs(found.standardUncertainty - full.u)).toBeLessThan(0.0003);
    expect(Math.abs(found.symmetric[0] - full.symmetric95[0])).toBeLessThan(0.003);
    expect(Math.abs(found.symmetric[1] - full.symmetric95[1])).toBeLessThan(0.003);
    expect(Math.abs(found.shortest[0] - published.shortest95[0])).toBeLessThan(0.003);
    expect(Math.abs(found.shortest[1] - published.shortest95[1])).toBeLessThan(0.003);
  });

  test('first order misses the densities: u 0.0539; the next order finds them: u 0.0750', () => {
    const bounded = ({ value, halfWidth }: { readonly value: number; readonly halfWidth: number }) => ({
      value,
      standardUncertainty: rectangularStandardUncertainty(halfWidth),
    });
    const inputs = [
      input('reference', 'mg', reference),
      input('balance', 'mg', balance),
      input('air', 'kg/m³', bounded(airDensity)),
      input('weight', 'kg/m³', bounded(weightDensity)),
      input('reference density', 'kg/m³', bounded(referenceDensity)),
    ] as const;
    const first = derive(model, ...inputs);
    expectClose([standardUncertainty(first)], [full.uFirstOrder], 1e-6);
    const [low, high] = published.firstOrder95;
    expect(first.value - expandedUncertainty(first)).toBeCloseTo(low, 4);
    expect(first.value + expandedUncertainty(first)).toBeCloseTo(high, 4);
    const both = Math.hypot(standardUncertainty(first), secondOrderUncertainty(model, ...inputs));
    expect(both).toBeCloseTo(published.uHigherOrder, 3);
  });
});

describe('NPL DEM-ES-011, 9.2: the logarithm of a rectangle from 0.1 to 1.1', () => {
  test('Monte Carlo finds mean and u of the skewed result, first order neither', () => {
    const found = monteCarlo(Math.log, [{ kind: 'rectangular', value: 0.6, halfWidth: 0.5 }], OPTIONS);
    expect(Math.abs(found.mean - LOGARITHM.exact.value)).toBeLessThan(0.003);
    expect(Math.abs(found.standardUncertainty - LOGARITHM.exact.u)).toBeLessThan(0.003);
    // Towards the long tail the shortest interval gives up less than the symmetric one.
    expect(found.shortest[1] - found.shortest[0]).toBeLessThan(found.symmetric[1] - found.symmetric[0]);
    // By the exact derivative 1/x, as published; differences one standard uncertainty wide would give 0.491.
    const x = input('x', '1', { value: 0.6, standardUncertainty: rectangularStandardUncertainty(0.5) });
    const first = combine(Math.log(0.6), [{ of: x, partial: 1 / 0.6 }]);
    expectClose([first.value, standardUncertainty(first)], [LOGARITHM.firstOrder.value, LOGARITHM.firstOrder.u], 1e-8);
  });
});

describe('NIST TN 1900, E13: thermal expansion of copper', () => {
  const model = (before: number, after: number, cold: number, warm: number) => (after - before) / (before * (warm - cold));
  const inputs = [EXPANSION.lengthBefore, EXPANSION.lengthAfter, EXPANSION.temperatureBefore, EXPANSION.temperatureAfter];

  test('first order: 1.7266e-5 per kelvin, u 1.76e-6', () => {
    const alpha = derive(model, ...inputs.map((each, k) => input(`input ${k}`, '1', each)));
    expectClose([alpha.value, standardUncertainty(alpha)], [EXPANSION.full.value, EXPANSION.full.u], 1e-6);
    expect(alpha.value).toBeCloseTo(EXPANSION.published.value, 9);
    expect(standardUncertainty(alpha)).toBeCloseTo(EXPANSION.published.u, 8);
    // Two lengths of very unequal weight, 3 degrees of freedom each.
    expect(effectiveDegreesOfFreedom(alpha)).toBeGreaterThan(3);
    expect(effectiveDegreesOfFreedom(alpha)).toBeLessThan(6);
  });

  // TN 1900 gives 1.74e-6, with t distributions scaled to the stated uncertainties (that it scales them so, from memory).
  test('Monte Carlo with t distributions of the stated standard deviations', () => {
    const drawn = inputs.map(
      ({ value, standardUncertainty, degreesOfFreedom }): Distribution => ({
        kind: 't',
        value,
        scale: standardUncertainty * Math.sqrt((degreesOfFreedom - 2) / degreesOfFreedom),
        degreesOfFreedom,
      }),
    );
    const found = monteCarlo(model, drawn, OPTIONS);
    expectClose([found.mean], [EXPANSION.published.value], 0.003);
    // A t of 3 degrees of freedom has no fourth moment: its u settles slowly, here to a few per cent.
    expectClose([found.standardUncertainty], [EXPANSION.published.uMonteCarlo], 0.04);
  });
});
