/** What the watches compute with: decays, robust slopes, how long to look, and the gas's own bounds. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { decayAt, durationToSee, fitDecay, robustSlope, slopeStandardUncertainty, straightLine } from '../../host/metrology/index.ts';
import {
  blowDownProgress,
  blowDownRatio,
  energyDrawnJ,
  filledOverSettled,
  NO_HEAT_TO_WALL_S,
  settledAfter,
  ventedOverSettled,
} from '../../host/physics/index.ts';
import { streamOf } from '../support/watch-courses.ts';

/** Mean of the model over a span by many points of it: no closed form shared with the fit. */
const meanOver = (parameters: readonly number[], fromS: number, toS: number): number =>
  Array.from({ length: 400 }, (_, i) => decayAt(parameters, fromS + ((i + 0.5) / 400) * (toS - fromS))).reduce((sum, p) => sum + p, 0) /
  400;

test('a decay is found again, within its own uncertainty, from spans short and long against its time constant', () => {
  const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
  fc.assert(
    fc.property(
      number(2e5, 4e6),
      number(5e3, 2e5),
      number(1, 20),
      number(-200, 200),
      number(0.1, 2),
      (base, amplitude, tau, slope, widthTaus) => {
        const parameters = [base, amplitude, Math.log(tau), slope];
        const random = streamOf('decay', Math.round(base));
        const width = Math.min(widthTaus, 1) * tau * 0.5;
        const spans = Array.from({ length: 30 }, (_, i) => ({
          fromS: i * width,
          toS: (i + 1) * width,
          mean: meanOver(parameters, i * width, (i + 1) * width) + random.normal(),
          standardUncertainty: 1,
        }));
        const fit = fitDecay({ spans, slope: { value: 0, standardUncertainty: 1e4 } });
        expect(fit).toBeDefined();
        if (!fit) return;
        const known = fit.quantity(([, , logTau = 0]) => Math.exp(logTau));
        expect(Math.abs(known.value / tau - 1)).toBeLessThan(0.02 + 5 * (known.standardUncertainty / tau));
        expect(Math.abs(fit.base - base)).toBeLessThan(2 + 5 * (fit.standardUncertainties[0] ?? 0));
      },
    ),
    { numRuns: 60 },
  );
});

test('too few spans, or a level that never decays, tell no decay that is known', () => {
  const flat = Array.from({ length: 20 }, (_, i) => ({ fromS: i, toS: i + 1, mean: 1e5 + (i % 2), standardUncertainty: 1 }));
  expect(fitDecay({ spans: flat.slice(0, 4) })).toBeUndefined();
  const fit = fitDecay({ spans: flat });
  expect(fit === undefined || Math.abs(fit.amplitude) < 4 * (fit.standardUncertainties[1] ?? 0)).toBe(true);
});

test('a straight line in closed form has the textbook slope and its uncertainty', () => {
  const points = [0, 1, 2, 3, 4].map((x) => ({ x, y: 2 + 3 * x, standardUncertainty: 0.5 }));
  const line = straightLine(points);
  expect(line?.slope).toBeCloseTo(3, 12);
  expect(line?.slopeStandardUncertainty).toBeCloseTo(0.5 / Math.sqrt(10), 12);
  expect(line?.levelAtMiddle).toBeCloseTo(8, 12);
  expect(straightLine(points.slice(0, 1))).toBeUndefined();
});

test('a quarter of strayed points leaves a robust slope where it is', () => {
  const points = Array.from({ length: 40 }, (_, i) => ({
    x: i / 10,
    y: 5 * (i / 10) + (i % 4 === 0 ? 1000 : 0),
    standardUncertainty: 0.01,
  }));
  expect(robustSlope(points)?.slope).toBeCloseTo(5, 1);
  expect(Math.abs((straightLine(points)?.slope ?? 0) - 5)).toBeGreaterThan(1);
  expect(robustSlope(points.slice(0, 2))).toBeUndefined();
});

test('after the time said to be needed the slope is just seen, and never where drift hides it', () => {
  const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
  fc.assert(
    fc.property(number(1, 1e4), number(1e-3, 10), number(0, 5), number(0.5, 500), (noise, periodS, driftPerS, slope) => {
      const claim = { noise, periodS, driftPerS };
      const needed = durationToSee(claim, slope);
      if (needed === undefined) expect(3.29 * driftPerS).toBeGreaterThanOrEqual(slope * (1 - 1e-12));
      else expect(3.29 * slopeStandardUncertainty(claim, needed)).toBeCloseTo(slope, 6);
    }),
  );
});

test('filling warms at most by γ, venting cools as an adiabat, and neither does anything where nothing moved', () => {
  expect(filledOverSettled(1e-6, 1e6, 1.4)).toBeCloseTo(1.4, 6);
  expect(filledOverSettled(1e6, 1e6, 1.4)).toBeCloseTo(1, 12);
  expect(ventedOverSettled(1e6, 1e6, 1.4)).toBe(1);
  // NACA Report 1135, table I: p/p_t = 0.5283 and T/T_t = 0.8333 at Mach 1 (γ = 7/5).
  expect(ventedOverSettled(1, 0.5283, 1.4)).toBeCloseTo(0.8333, 4);
});

test('gas that is filled in settles between no heat to the wall and all of it, and stays where it is once the valve is shut', () => {
  const number = (min: number, max: number) => fc.double({ min, max, noNaN: true });
  fc.assert(
    fc.property(number(1e4, 1e6), number(1e3, 1e5), number(0.1, 100), number(0, 1e3), (startPa, slope, forS, wallTimeS) => {
      const start = { settledPa: startPa, pressurePa: startPa };
      const endPa = startPa + slope * forS;
      const settled = settledAfter(start, slope, forS, { wallTimeS, gamma: 1.4 });
      const adiabatic = settledAfter(start, slope, forS, { wallTimeS: NO_HEAT_TO_WALL_S, gamma: 1.4 });
      expect(settledAfter(start, slope, forS, { wallTimeS: 0, gamma: 1.4 })).toBeCloseTo(endPa, 6);
      // The textbook's own closed form of the adiabatic fill.
      expect(adiabatic / (endPa / filledOverSettled(startPa, endPa, 1.4))).toBeCloseTo(1, 3);
      expect(settled).toBeGreaterThanOrEqual(adiabatic * (1 - 1e-9));
      expect(settled).toBeLessThanOrEqual(endPa * (1 + 1e-9));
      // In two steps as in one.
      const half = settledAfter(start, slope, forS / 2, { wallTimeS, gamma: 1.4 });
      const middle = { settledPa: half, pressurePa: startPa + (slope * forS) / 2 };
      expect(settledAfter(middle, slope, forS / 2, { wallTimeS, gamma: 1.4 }) / settled).toBeCloseTo(1, 9);
    }),
  );
});

test('a blow-down and its inverse are one another’s, and energy is the fall of pV/(γ − 1)', () => {
  fc.assert(
    fc.property(fc.double({ min: 0, max: 3, noNaN: true }), fc.constantFrom(1.289, 1.4, 5 / 3), (x, gamma) => {
      expect(blowDownProgress(blowDownRatio(x, gamma), gamma)).toBeCloseTo(x, 9);
    }),
  );
  expect(energyDrawnJ(1e6, 0.045, 1.4)).toBeCloseTo(112.5e3, 6);
});
