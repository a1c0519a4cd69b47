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

// NIST StRD Misra1a, y = b1(1 − e^(−b2 x)), average of "lower" difficulty: certified 238.94212918 and 5.5015643181e-4.
test('NIST StRD Misra1a from both starting points, to 6 digits', () => {
  const y = [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.4, 75.47, 81.78];
  const x = [77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0];
  for (const start of [
    [500, 1e-4],
    [250, 5e-4],
  ] as const) {
    const fit = fitLeastSquares({
      predict: ([b1, b2]) => x.map((at) => -(b1 as number) * Math.expm1(-(b2 as number) * at)),
      observed: y,
      weightUncertainty: y.map(() => 0.1),
      parameters: [
        { ...free('b1', start[0]), step: 1e-2 },
        { ...free('b2', start[1]), step: 1e-8 },
      ],
      influences: () => [],
    });
    expect((fit?.values[0] ?? 0) / 238.94212918).toBeCloseTo(1, 6);
    expect((fit?.values[1] ?? 0) / 5.5015643181e-4).toBeCloseTo(1, 6);
  }
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
