import { expect, test } from 'vitest';
import { agreementScore } from '../../host/metrology/index.ts';

const reference = { value: 250, expandedUncertainty: 0.4 };

// E_n of ISO 13528 / ISO/IEC 17043 with expanded uncertainties (formula read on the NIST Dataplot reference page).
test('E_n of 0.8 agrees and of 1.2 does not', () => {
  expect(agreementScore({ value: 250.4, expandedUncertainty: 0.3 }, reference)).toBeCloseTo(0.8, 12);
  expect(agreementScore({ value: 250.6, expandedUncertainty: 0.3 }, reference)).toBeCloseTo(1.2, 12);
});

test('below the reference the score is negative, and exchanging the two turns its sign', () => {
  const low = { value: 249.6, expandedUncertainty: 0.3 };
  expect(agreementScore(low, reference)).toBeCloseTo(-0.8, 12);
  expect(agreementScore(reference, low)).toBeCloseTo(0.8, 12);
});

test('without any uncertainty there is no score', () => {
  const sure = { value: 1, expandedUncertainty: 0 };
  expect(() => agreementScore(sure, sure)).toThrow(RangeError);
  expect(() => agreementScore({ value: 1, expandedUncertainty: -1 }, reference)).toThrow(RangeError);
  expect(agreementScore({ value: 250.4, expandedUncertainty: 0 }, reference)).toBeCloseTo(1, 12);
});
