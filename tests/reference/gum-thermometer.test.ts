/** JCGM 100:2008, H.3: a thermometer's calibration line, and what it says at 30 °C. */
import { describe, expect, test } from 'vitest';
import {
  combine,
  correlatedInputs,
  correlation,
  type Estimate,
  effectiveDegreesOfFreedom,
  exact,
  expandedUncertainty,
  input,
  standardUncertainty,
  weightedLinearFit,
} from '../../host/metrology/index.ts';
import { expectClose, known } from '../support/known.ts';
import { THERMOMETER } from './fixtures/gum-examples.ts';

const { temperatureC, correctionC, referenceC, published, full, wrongWithoutCorrelation } = THERMOMETER;
const FIT = known(weightedLinearFit({ design: temperatureC.map((t) => [1, t - referenceC]), observed: correctionC }));

const inputs = ['y1', 'y2'].map((name, k) => ({
  name,
  unit: k === 0 ? '°C' : '1',
  value: known(FIT.values[k]),
  standardUncertainty: known(FIT.standardUncertainties[k]),
}));
const at30 = ([y1, y2]: readonly Estimate[]) =>
  combine(known(y1).value + known(y2).value * (30 - referenceC), [
    { of: known(y1), partial: 1 },
    { of: known(y2), partial: 30 - referenceC },
  ]);

describe('GUM H.3, calibration line', () => {
  test('intercept, slope, their uncertainties and correlation, the scatter', () => {
    expect(FIT.values[0]).toBeCloseTo(published.values[0], 4);
    expect(FIT.values[1]).toBeCloseTo(published.values[1], 5);
    expect(FIT.standardUncertainties[0]).toBeCloseTo(published.u[0], 4);
    expect(FIT.standardUncertainties[1]).toBeCloseTo(published.u[1], 5);
    expect(FIT.correlation[0]?.[1]).toBeCloseTo(published.r, 3);
    expect(FIT.residualStandardDeviation).toBeCloseTo(published.s, 4);
    expect(FIT.degreesOfFreedom).toBe(published.degreesOfFreedom);
    expectClose(FIT.values, full.values, 1e-6);
    expectClose(FIT.standardUncertainties, full.u, 1e-6);
    expectClose([known(FIT.correlation[0]?.[1]), FIT.residualStandardDeviation], [full.r, full.s], 1e-6);
  });

  test('the correction at 30 °C, its uncertainty and its degrees of freedom', () => {
    const line = correlatedInputs(inputs, FIT.correlation, FIT.degreesOfFreedom);
    const correction = at30(line);
    expect(correction.value).toBeCloseTo(published.at30, 4);
    expect(standardUncertainty(correction)).toBeCloseTo(published.uAt30, 4);
    expectClose([correction.value, standardUncertainty(correction)], [full.at30, full.uAt30], 1e-6);
    expect(effectiveDegreesOfFreedom(correction)).toBeCloseTo(published.degreesOfFreedom, 9);
    // Table G.2: t for 95 % and 9 degrees of freedom is 2.26.
    expect(expandedUncertainty(correction) / standardUncertainty(correction)).toBeCloseTo(2.26, 2);
  });

  test('with the correlation dropped the uncertainty at 30 °C is another, and this test can tell', () => {
    const wrong = standardUncertainty(at30(inputs.map((each) => input(each.name, each.unit, each))));
    expectClose([wrong], [wrongWithoutCorrelation], 1e-6);
    expect(wrong / full.uAt30).toBeGreaterThan(1.7);
  });

  // H.3.5: taking the mean temperature as reference makes intercept and slope independent.
  test('about the mean temperature the parameters are not correlated', () => {
    const mean = temperatureC.reduce((sum, t) => sum + t, 0) / temperatureC.length;
    const fit = known(weightedLinearFit({ design: temperatureC.map((t) => [1, t - mean]), observed: correctionC }));
    expect(Math.abs(known(fit.correlation[0]?.[1]))).toBeLessThan(1e-12);
    const [y1, y2] = correlatedInputs(inputs, FIT.correlation) as [Estimate, Estimate];
    const atMean = combine(0, [
      { of: y1, partial: 1 },
      { of: y2, partial: mean - referenceC },
    ]);
    expect(correlation(atMean, y2)).toBeCloseTo(0, 9);
    expect(standardUncertainty(atMean)).toBeCloseTo(known(fit.standardUncertainties[0]), 9);
    expect(correlation(atMean, exact(1))).toBe(0);
  });
});
