import { expect, test } from 'vitest';
import { fitLeastSquares, input, type Parameter, standardUncertainty } from '../../host/metrology/index.ts';

const free = (name: string, start: number): Parameter => ({
  name,
  unit: '1',
  start,
  prior: { value: 0, standardUncertainty: Number.POSITIVE_INFINITY },
  step: 1e-4,
});

// JCGM 100:2008, annex H.3: a thermometer's corrections fitted by a line through 11 points, reference 20 °C.
// Published: y1 −0.1712 °C (u 0.0029), y2 0.00218 (u 0.00067), s 0.0035 °C.
test('GUM H.3: the calibration line of a thermometer', () => {
  const t = [21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511];
  const b = [-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.16];
  const s = 0.00349756;
  const fit = fitLeastSquares({
    predict: ([y1, y2]) => t.map((x) => (y1 as number) + (y2 as number) * (x - 20)),
    observed: b,
    weightUncertainty: b.map(() => s),
    parameters: [free('y1', 0), free('y2', 0)],
    influences: () =>
      b.map((_, i) => ({
        of: input(`reading ${i}`, '°C', { value: 0, standardUncertainty: s }),
        effect: b.map((__, k) => (k === i ? 1 : 0)),
      })),
  });
  if (!fit) throw new Error('no fit');
  expect(fit.values[0]).toBeCloseTo(-0.1712, 4);
  expect(fit.values[1]).toBeCloseTo(0.00218, 5);
  expect(standardUncertainty(fit.parameters[0] as never)).toBeCloseTo(0.0029, 4);
  expect(standardUncertainty(fit.parameters[1] as never)).toBeCloseTo(0.00067, 5);
  // Chi-squared is the residual sum over s²: n − 2 where s is the residuals' own.
  expect(fit.chiSquared).toBeCloseTo(9, 3);
});

test('prior knowledge weighs as an observation of the same uncertainty does', () => {
  const fit = fitLeastSquares({
    predict: ([a]) => [a as number],
    observed: [10],
    weightUncertainty: [2],
    parameters: [{ ...free('a', 0), prior: { value: 4, standardUncertainty: 2 } }],
    influences: () => [{ of: input('reading', '1', { value: 0, standardUncertainty: 2 }), effect: [1] }],
  });
  expect(fit?.values[0]).toBeCloseTo(7, 9);
  expect(standardUncertainty(fit?.parameters[0] as never)).toBeCloseTo(Math.SQRT2, 9);
});

test('two parameters that only appear as a sum cannot be told apart', () => {
  const fit = fitLeastSquares({
    predict: ([a, b]) => [(a as number) + (b as number), (a as number) + (b as number)],
    observed: [1, 2],
    weightUncertainty: [1, 1],
    parameters: [free('a', 0), free('b', 0)],
    influences: () => [],
  });
  expect(fit).toBeUndefined();
});

test('a step out of the range of the model is damped, not taken', () => {
  // From a = 3 the full step for √a = 0.5 leads to a below 0, where there is no root.
  const fit = fitLeastSquares({
    predict: ([a]) => [Math.sqrt(a as number)],
    observed: [0.5],
    weightUncertainty: [0.01],
    parameters: [free('a', 3)],
    influences: () => [],
  });
  expect(fit?.values[0]).toBeCloseTo(0.25, 9);
});

test('a search that may not go on long enough gives nothing rather than its last guess', () => {
  const problem = {
    predict: ([a]: readonly number[]) => [1, 2, 3].map((x) => Math.exp((a as number) * x)),
    observed: [1.1, 1.2, 1.3],
    weightUncertainty: [0.01, 0.01, 0.01],
    parameters: [free('a', 2)],
    influences: () => [],
  };
  expect(fitLeastSquares(problem)).toBeDefined();
  expect(fitLeastSquares({ ...problem, iterationsMax: 2 })).toBeUndefined();
});

test('predictions that are no numbers at the start give nothing', () => {
  const fit = fitLeastSquares({
    predict: () => [Number.NaN, 1],
    observed: [1, 1],
    weightUncertainty: [1, 1],
    parameters: [free('a', 0)],
    influences: () => [],
  });
  expect(fit).toBeUndefined();
});

test('where observations fit exactly, the search still ends', () => {
  const fit = fitLeastSquares({
    predict: ([a, b]) => [0, 1, 2].map((x) => (a as number) * Math.exp((b as number) * x)),
    observed: [0, 1, 2].map((x) => 2 * Math.exp(-0.5 * x)),
    weightUncertainty: [1, 1, 1],
    parameters: [free('a', 1), free('b', 0)],
    influences: () => [],
  });
  expect(fit?.values[0]).toBeCloseTo(2, 9);
  expect(fit?.values[1]).toBeCloseTo(-0.5, 9);
  expect(fit?.chiSquared).toBeLessThan(1e-20);
});

test('scatter alone sets the deviations where the claim is wrong by any factor', () => {
  const fitted = (claimed: number) =>
    fitLeastSquares({
      predict: ([a]) => [a as number, a as number, a as number],
      observed: [1, 2, 3],
      weightUncertainty: [claimed, claimed, claimed],
      parameters: [free('a', 0)],
      influences: () => [],
    });
  // Mean of three with a standard deviation of 1: u = 1/√3.
  for (const claimed of [1e-3, 1, 1e3]) expect(fitted(claimed)?.scatterStandardUncertainties[0]).toBeCloseTo(1 / Math.sqrt(3), 6);
});
