/** Speed in the middle of a pair of gates under drag, against the closed form of constant drag. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { standardUncertainty } from '../../host/metrology/index.ts';
import type { TimeBase, TimedPassage } from '../../host/pipeline/gate-timing.ts';
import { reducePair } from '../../host/pipeline/reduction.ts';
import type { Rig } from '../../host/rig/index.ts';
import { HERON_RIG } from '../support/heron.ts';

const time: TimeBase = { rateStandardUncertainty: 0, tickS: 0, offsetStandardUncertaintyS: {}, firingBoard: 'board' };

function passage(name: string, positionM: number, timeS: number, uPositionM = 0, jitterS = 0): TimedPassage {
  const gate = {
    name,
    pair: 'A',
    board: 'board',
    input: 1,
    positionM: { value: positionM, standardUncertainty: uPositionM },
    delayS: { value: 0, standardUncertainty: 0 },
    jitterS,
    squarenessStandardUncertaintyRad: 0,
  };
  return { gate, timeS, occlusionS: 1e-4, ambiguityS: 0 };
}

/** Whose tape and line of fire are beyond doubt. */
const rig: Rig = { ...HERON_RIG, tapeRelativeStandardUncertainty: 0, sidewaysStandardUncertaintyM: 0 };

describe('drag', () => {
  test('7.17, 7.18: from 300 m/s over 5 m, mean 295.8687213, in the middle 295.8781596 m/s', () => {
    const pair = [passage('A1', 1, 0.01), passage('A2', 6, 0.01 + 0.01689938692)] as const;
    const { velocityMps, dragCorrectionMps, positionM } = reducePair('A', pair, { time, rig, decayPerM: 0.005533891217 });
    expect(positionM).toBe(3.5);
    expect(velocityMps.value - dragCorrectionMps).toBeCloseTo(295.8687213, 5);
    expect(velocityMps.value).toBeCloseTo(295.8781596, 5);
  });

  test('speed in the middle is exact for any constant drag', () => {
    const speeds = fc.double({ min: 30, max: 1500, noNaN: true });
    const spacings = fc.double({ min: 0.2, max: 5, noNaN: true });
    const decays = fc.double({ min: 1e-4, max: 0.1, noNaN: true });
    fc.assert(
      fc.property(speeds, spacings, decays, (v0, spacingM, decayPerM) => {
        const flightS = Math.expm1(decayPerM * spacingM) / (decayPerM * v0);
        const pair = [passage('A1', 0, 0), passage('A2', spacingM, flightS)] as const;
        const { velocityMps } = reducePair('A', pair, { time, rig, decayPerM });
        expect(Math.abs(velocityMps.value / (v0 * Math.exp((-decayPerM * spacingM) / 2)) - 1)).toBeLessThan(1e-10);
      }),
    );
  });
});

test('11.6: 0.5 m known to 0.1 mm over 1.666667 ms known to 0.2 µs is 300 m/s, u 0.0699714 m/s', () => {
  // Spacing and time are two gates’: each gate has its part by √2, and two edges halve a gate’s jitter variance.
  const pair = [passage('A1', 1, 0, 0.1e-3 / Math.SQRT2, 0.2e-6), passage('A2', 1.5, 0.5 / 300, 0.1e-3 / Math.SQRT2, 0.2e-6)] as const;
  const { velocityMps } = reducePair('A', pair, { time, rig, decayPerM: 0 });
  expect(velocityMps.value).toBeCloseTo(300, 9);
  // The host's clock, 20 ppm rectangular, and the board's drift of 1 ppm come on top.
  const clocks = 300 * Math.hypot(20e-6 / Math.sqrt(3), 1e-6);
  expect(Math.sqrt(standardUncertainty(velocityMps) ** 2 - clocks ** 2)).toBeCloseTo(0.0699714, 6);
});
