/** Whether a fit of the settling tells anything yet, and what of the leak beside it. */
import { type DecayFit, slopeAt } from '../../metrology/index.ts';
import type { FillSetup } from './setup.ts';

/** A time constant known worse than this, relative, tells no settled pressure yet. */
const TIME_CONSTANT_KNOWN = 0.25;

/** SI/s, k = 1. */
export interface Slope {
  readonly value: number;
  readonly standardUncertainty: number;
}

/** The decay stands out and its time constant is known. */
export const isTold = (fit: DecayFit | undefined): fit is DecayFit =>
  fit !== undefined &&
  (fit.standardUncertainties[2] ?? 1) < TIME_CONSTANT_KNOWN &&
  Math.abs(fit.amplitude) > 4 * (fit.standardUncertainties[1] ?? Number.POSITIVE_INFINITY);

/**
 * The fit holds the slope near nothing while the samples do not tell it: what it was told beforehand is taken out again,
 * or a leak of a kilopascal a second would be told as a third of it (of two normal distributions, the one from their product).
 * @returns undefined where that is less than was known of leaks before anything was measured
 */
export function leakBeside(fit: DecayFit | undefined, nowS: number, { leakExpectedPaPerS }: FillSetup): Slope | undefined {
  if (!isTold(fit)) return undefined;
  const both = fit.quantity((parameters) => slopeAt(parameters, nowS));
  const widening = Math.sqrt(Math.max(1, fit.reducedChiSquared));
  const beforehand = (both.standardUncertainty / widening / leakExpectedPaPerS) ** 2;
  if (beforehand >= 0.9) return undefined;
  const standardUncertainty = both.standardUncertainty / Math.sqrt(1 - beforehand);
  return standardUncertainty < leakExpectedPaPerS ? { value: both.value / (1 - beforehand), standardUncertainty } : undefined;
}
