/**
 * Linear fits against NIST's certified values: Longley's columns are nearly one, Wampler's powers reach 20⁵, Pontius's
 * curvature is a millionth of a millionth. At least 9 digits are asked of parameters, their deviations, the residuals'
 * deviation and R²; without its refinement the solution by reflections has 5 on Wampler5.
 */
import { expect, test } from 'vitest';
import { weightedLinearFit } from '../../host/metrology/index.ts';
import { digits } from '../support/digits.ts';
import { LINEAR, type LinearSet } from './fixtures/nist-strd.ts';

type Row = (x: readonly number[]) => readonly number[];

const powers =
  (degree: number): Row =>
  ([x]) =>
    Array.from({ length: degree + 1 }, (_, k) => (x as number) ** k);

const ROWS: Readonly<Record<keyof typeof LINEAR, Row>> = {
  Norris: powers(1),
  Pontius: powers(2),
  NoInt1: (x) => x,
  Longley: (x) => [1, ...x],
  Wampler1: powers(5),
  Wampler2: powers(5),
  Wampler5: powers(5),
};

const DIGITS = 9;

function fitted(set: LinearSet, row: Row, u?: number) {
  const fit = weightedLinearFit({
    design: set.x.map(row),
    observed: set.y,
    ...(u === undefined ? {} : { standardUncertainties: set.y.map(() => u) }),
  });
  if (!fit) throw new Error('no fit');
  return fit;
}

for (const [name, row] of Object.entries(ROWS) as [keyof typeof LINEAR, Row][]) {
  const set: LinearSet = LINEAR[name];
  test(`${name}: ${DIGITS} digits`, () => {
    const fit = fitted(set, row);
    expect(digits(fit.values, set.certified)).toBeGreaterThan(DIGITS);
    expect(digits(fit.standardUncertainties, set.certifiedSd)).toBeGreaterThan(DIGITS);
    expect(digits([fit.residualStandardDeviation], [set.residualSd])).toBeGreaterThan(DIGITS);
    expect(digits([fit.rSquared], [set.rSquared])).toBeGreaterThan(DIGITS);
    expect(fit.degreesOfFreedom).toBe(set.degreesOfFreedom);
  });

  // Equal uncertainties, stated to be the residuals' own deviation, must say what the scatter says.
  if (set.residualSd > 0) {
    test(`${name}: stated uncertainties give the same deviations as the scatter they equal`, () => {
      const fit = fitted(set, row, set.residualSd);
      expect(digits(fit.values, set.certified)).toBeGreaterThan(DIGITS);
      expect(digits(fit.standardUncertainties, set.certifiedSd)).toBeGreaterThan(DIGITS);
      expect(digits([fit.residualStandardDeviation], [1])).toBeGreaterThan(DIGITS);
      expect(digits([fit.rSquared], [set.rSquared])).toBeGreaterThan(DIGITS);
    });
  }
}
