/** JCGM 100:2008, H.2: resistance, reactance and impedance from voltage, current and phase that were read together. */
import { describe, expect, test } from 'vitest';
import {
  correlatedInputs,
  correlation,
  covariance,
  derive,
  type Estimate,
  effectiveDegreesOfFreedom,
  input,
  meanOf,
  observedTogether,
  standardUncertainty,
} from '../../host/metrology/index.ts';
import { expectClose, known } from '../support/known.ts';
import { IMPEDANCE } from './fixtures/gum-examples.ts';

const { voltageV, currentA, phaseRad, published, full, fromRounded, wrongWithoutCorrelation, approach2 } = IMPEDANCE;

const MODELS = [
  (v: number, i: number, phi: number) => (v / i) * Math.cos(phi),
  (v: number, i: number, phi: number) => (v / i) * Math.sin(phi),
  (v: number, i: number, _phi: number) => v / i,
] as const;
const results = ([v, i, phi]: readonly Estimate[]) => MODELS.map((model) => derive(model, known(v), known(i), known(phi)));
const correlations = ([r, x, z]: readonly Estimate[]) => [
  correlation(known(r), known(x)),
  correlation(known(r), known(z)),
  correlation(known(x), known(z)),
];

const NAMES = [
  { name: 'V', unit: 'V' },
  { name: 'I', unit: 'A' },
  { name: 'φ', unit: 'rad' },
];
const READINGS = observedTogether([
  { name: 'V', unit: 'V', observations: voltageV },
  { name: 'I', unit: 'A', observations: currentA },
  { name: 'φ', unit: 'rad', observations: phaseRad },
]);
const rounded = published.means.map((value, k) => ({ ...known(NAMES[k]), value, standardUncertainty: known(published.u[k]) }));
const { voltageCurrent, voltagePhase, currentPhase } = published.correlation;

describe('GUM H.2, impedance', () => {
  test('means, their uncertainties and correlations', () => {
    const [v, i, phi] = READINGS as [Estimate, Estimate, Estimate];
    expectClose(
      READINGS.map((e) => e.value),
      published.means,
      1e-12,
    );
    expectClose(READINGS.map(standardUncertainty), full.u, 1e-9);
    expectClose(
      [correlation(v, i), correlation(v, phi), correlation(i, phi)],
      [full.correlation.voltageCurrent, full.correlation.voltagePhase, full.correlation.currentPhase],
      1e-9,
    );
    expect(correlation(v, i)).toBeCloseTo(voltageCurrent, 2);
    expect(correlation(v, phi)).toBeCloseTo(voltagePhase, 2);
    expect(correlation(i, phi)).toBeCloseTo(currentPhase, 2);
  });

  test('R, X and Z with uncertainties and correlations, to the published digits', () => {
    const found = results(READINGS);
    for (const [k, estimate] of found.entries()) {
      expect(estimate.value).toBeCloseTo(known(published.values[k]), 3);
      // Printed: 0.295 for an X of 0.2956. Half a digit more than rounding is allowed for it.
      expect(Math.abs(standardUncertainty(estimate) - known(published.uncertainties[k]))).toBeLessThan(0.0006);
    }
    expect(correlations(found).map((r) => Number(r.toFixed(3)))).toEqual(Object.values(published.resultCorrelation));
  });

  test('the same to all digits', () => {
    const found = results(READINGS);
    expectClose(
      found.map((e) => e.value),
      full.values,
      1e-9,
    );
    expectClose(found.map(standardUncertainty), full.uncertainties, 1e-6);
    expectClose(correlations(found), Object.values(full.resultCorrelation), 1e-6);
  });

  test('from the printed means, uncertainties and correlation matrix', () => {
    const matrix = [
      [1, voltageCurrent, voltagePhase],
      [voltageCurrent, 1, currentPhase],
      [voltagePhase, currentPhase, 1],
    ];
    const found = results(correlatedInputs(rounded, matrix));
    // Derivatives are differences over one standard uncertainty, which shows in the eighth digit.
    expectClose(found.map(standardUncertainty), fromRounded.uncertainties, 1e-6);
    expectClose(correlations(found), Object.values(fromRounded.resultCorrelation), 1e-6);
  });

  test('with the correlations dropped it is another result, and this test can tell', () => {
    const u = full.u;
    const alone = READINGS.map((e, k) =>
      input(known(NAMES[k]).name, known(NAMES[k]).unit, { value: e.value, standardUncertainty: known(u[k]) }),
    );
    const found = results(alone).map(standardUncertainty);
    expectClose(found, wrongWithoutCorrelation, 1e-6);
    for (const [k, wrong] of found.entries()) expect(Math.abs(wrong / known(full.uncertainties[k]) - 1)).toBeGreaterThan(0.1);
  });

  test('approach 2: each set of readings reduced on its own gives nearly the same', () => {
    const perSet = MODELS.map((model) => meanOf(voltageV.map((v, k) => model(v, known(currentA[k]), known(phaseRad[k])))));
    expectClose(
      perSet.map((m) => m.value),
      approach2.values,
      1e-9,
    );
    expectClose(
      perSet.map((m) => m.standardUncertainty),
      approach2.uncertainties,
      1e-6,
    );
  });

  test('degrees of freedom are those of five sets, as approach 2 has them, not more', () => {
    for (const estimate of results(READINGS)) expect(effectiveDegreesOfFreedom(estimate)).toBeCloseTo(4, 9);
  });

  test('the budget: independent terms, readably named, that add up', () => {
    const resistance = known(results(READINGS)[0]);
    expect(resistance.terms.map((t) => t.input)).toEqual(['V', 'I apart from V', 'φ apart from V, I']);
    expect(covariance(resistance, resistance)).toBeCloseTo(standardUncertainty(resistance) ** 2, 12);
  });
});
