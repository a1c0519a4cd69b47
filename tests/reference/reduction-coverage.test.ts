/**
 * A short look at what `npm run check:numbers` looks at long: over simulated shots whose every error is drawn from what
 * the demonstration rig claims, do the intervals hold the truth, and does it show when a claim is false?
 */
import { describe, expect, test } from 'vitest';
import { claimedShot } from '../support/claimed-shots.ts';
import { HERON_RIG, HERON_TEXT } from '../support/heron.ts';
import { coverage, RESULTS } from '../support/numbers/coverage.ts';
import { efficiency } from '../support/numbers/efficiency.ts';
import { eightGateRig, reduceFully } from '../support/numbers/eight-gates.ts';
import { faultyShots } from '../support/numbers/faulty-shots.ts';

const SHOTS = 1500;

describe('errors as claimed', () => {
  const claimed = coverage(HERON_RIG, { shots: SHOTS, firstSeed: 1 });

  // Three standard deviations of a share of 95 % among 1500 are 1.7 %.
  test.each(RESULTS.map((name, i) => [name, i] as const))('the 95 % interval of %s holds the truth', (_, i) => {
    expect(claimed.covered[i]).toBeGreaterThan(0.933);
    expect(claimed.covered[i]).toBeLessThan(0.967);
  });

  test('every shot has a velocity, and the residuals are as claimed', () => {
    expect(claimed.withoutVelocity).toBe(0);
    expect(claimed.residualsAsClaimed).toBe(true);
  });
});

test('gates twice as far off as claimed: the intervals miss the truth, and the residuals say so', () => {
  const doubled = coverage(HERON_RIG, { shots: SHOTS, firstSeed: 1, inflate: { positions: 2 } });
  expect(doubled.covered[0]).toBeLessThan(0.88);
  expect(doubled.residualsAsClaimed).toBe(false);
});

test('the fitted muzzle velocity scatters hardly more than the Cramér–Rao bound allows', () => {
  // Of 1000 shots the mean squared error is known to 4.5 %; three of that, and the 5 % that are asked for.
  const { varianceOverBound } = efficiency(HERON_RIG, { muzzleMps: 300, shots: 1000, seed: 1 });
  expect(varianceOverBound).toBeLessThan(1.19);
  expect(varianceOverBound).toBeGreaterThan(0.86);
});

test('with fragments, blast and double edges in every shot, the velocities are right', () => {
  const { wrong } = faultyShots(HERON_RIG, { shots: 500, firstSeed: 1 });
  expect(wrong).toEqual([]);
});

test('in light that flickers over all gates, the velocities are right', () => {
  const { wrong } = faultyShots(HERON_RIG, { shots: 500, firstSeed: 1, faults: 'flicker' });
  expect(wrong).toEqual([]);
});

test('eight gates in four pairs: all are used, and every result has its budget', () => {
  const rig = eightGateRig(HERON_TEXT);
  const shot = claimedShot(rig, { seed: 3 });
  expect(shot.screening.passages.map(({ gate }) => gate.name)).toEqual(['A1', 'A2', 'B1', 'B2', 'C1', 'C2', 'D1', 'D2']);
  expect(shot.pairs).toHaveLength(4);
  expect(reduceFully(rig, shot)).toBeGreaterThan(500);
});
