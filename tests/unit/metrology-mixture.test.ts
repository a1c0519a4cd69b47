import { expect, test } from 'vitest';
import {
  linearGaussian,
  mixtureMoments,
  mixtureQuantile,
  probabilityBelow,
  varianceAlong,
  weightedLinearFit,
} from '../../host/metrology/index.ts';

const standard = [{ weight: 3, mean: 0, standardDeviation: 1 }];

// NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1: table of the normal distribution (from memory, as every table has it).
test.each([
  [0.975, 1.959964],
  [0.95, 1.644854],
  [0.995, 2.575829],
  [0.5, 0],
])('one part is the normal distribution: quantile of %s', (probability, quantile) => {
  expect(mixtureQuantile(standard, probability)).toBeCloseTo(quantile, 5);
  expect(probabilityBelow(standard, quantile)).toBeCloseTo(probability, 6);
});

test('two parts far apart: half of each, and the variance of both and between', () => {
  const parts = [
    { weight: 1, mean: -5, standardDeviation: 0.1 },
    { weight: 1, mean: 5, standardDeviation: 0.2 },
  ];
  expect(mixtureQuantile(parts, 0.25)).toBeCloseTo(-5, 5);
  expect(mixtureQuantile(parts, 0.75)).toBeCloseTo(5, 5);
  const { mean, standardDeviation } = mixtureMoments(parts);
  expect(mean).toBeCloseTo(0, 12);
  expect(standardDeviation ** 2).toBeCloseTo(25 + (0.01 + 0.04) / 2, 10);
});

test('one coefficient: the closed form of prior and observation, and the evidence of a normal density', () => {
  // y = 2a + e, e of variance 0.5, a standard normal: precision 1 + 4/0.5 = 9, mean 2·y/0.5/9; y itself has variance 4.5.
  const { mean, covariance, logEvidence } = linearGaussian([[2]], [1.8], [0.5]);
  expect(mean[0]).toBeCloseTo((2 * 1.8) / 0.5 / 9, 12);
  expect(covariance[0]?.[0]).toBeCloseTo(1 / 9, 12);
  expect(logEvidence).toBeCloseTo(-0.5 * (Math.log(4.5) + 1.8 ** 2 / 4.5), 12);
});

test('many observations outweigh the prior: it comes to weighted least squares', () => {
  const x = Array.from({ length: 40 }, (_, i) => i / 10);
  const y = x.map((at, i) => 0.3 + 0.2 * at + 1e-3 * Math.sin(7 * i));
  const u = x.map((_, i) => 1e-4 * (1 + (i % 3)));
  const rows = x.map((at) => [1, at]);
  const posterior = linearGaussian(
    rows,
    y,
    u.map((one) => one * one),
  );
  const fit = weightedLinearFit({ design: rows, observed: y, standardUncertainties: u });
  for (const [j, mean] of posterior.mean.entries()) expect(mean).toBeCloseTo(fit?.values[j] ?? Number.NaN, 6);
  expect(Math.sqrt(varianceAlong(posterior, [1, 0])) / (fit?.standardUncertainties[0] ?? 0)).toBeCloseTo(1, 4);
});
