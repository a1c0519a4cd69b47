/**
 * When the valve opened, from the first few hundredths of the reservoir's fall.
 *
 * The open area grows from nothing, so the fall begins as a power of time, and a threshold would be crossed late by an
 * amount that depends on the pressure and the noise. Fitted is the choked blow-down p = p₁·(1 + x)^(−2γ/(γ−1)) with the
 * area's integral growing as a bent power, x = x_e·u^m·(1 + c·(1 − u)), u = (t − t₀)/(t_e − t₀), where t_e is the end of
 * the fitted stretch. A valve that opens steadily has m = 2, one that starts softly m = 3, one that bursts m = 1: known
 * beforehand as 2 ± 0.7; the bend, of a valve whose opening ends within the stretch, as 0 ± 0.4 (a smooth step: 0.5).
 */
import type { PressureTrace } from '../../../protocol/index.ts';
import { fitLeastSquares, rectangularStandardUncertainty } from '../../metrology/index.ts';
import { blowDownProgress, blowDownRatio } from '../../physics/index.ts';

export interface ValveOpening {
  /** s since the firing. */
  readonly atS: number;
  readonly standardUncertaintyS: number;
  readonly beforePa: { readonly value: number; readonly standardUncertainty: number };
}

/** The fall that is fitted, of the pressure before it: the valve is still opening then. */
const FITTED_SHARE = 0.01;
/** A fall is one where it leaves the noise by so many deviations. */
const SEEN = 4;
/** Quiet samples before the fall that fix the level. */
const QUIET_MIN = 20;
const QUIET_MAX = 400;
const POINTS_MAX = 240;
const POWER = { value: 2, standardUncertainty: 0.7 };
const BEND = { value: 0, standardUncertainty: 0.4 };

/** Standard deviation of one sample by second differences, of which half are surely quiet: their median. */
export function noiseOf(values: readonly number[]): number {
  const every = Math.max(1, Math.floor(values.length / 512));
  const bends: number[] = [];
  for (let i = 2; i < values.length; i += every) {
    bends.push(Math.abs((values[i] as number) - 2 * (values[i - 1] as number) + (values[i - 2] as number)));
  }
  const median = bends.sort((a, b) => a - b)[bends.length >> 1] ?? 0;
  return Math.max(median / (0.6745 * Math.sqrt(6)), 1e-9 * Math.abs(values[0] ?? 0), 1e-12);
}

/** @returns undefined where there is no fall, or too little quiet before it */
export function openingOf(trace: PressureTrace, gamma: number): ValveOpening | undefined {
  const { fromS, periodS, valuesPa } = trace;
  const noise = noiseOf(valuesPa);
  const quiet = valuesPa.slice(0, QUIET_MIN);
  if (valuesPa.length < 2 * QUIET_MIN) return undefined;
  const level = quiet.reduce((sum, p) => sum + p, 0) / quiet.length;
  const depth = Math.max(FITTED_SHARE * level, 3 * SEEN * noise);
  const endIndex = valuesPa.findIndex((p, i) => i >= QUIET_MIN && p < level - depth);
  if (endIndex < 0) return undefined;
  const begun = valuesPa.findLastIndex((p, i) => i < endIndex && p > level - SEEN * noise);
  const first = Math.max(0, begun - QUIET_MAX);
  if (begun - first < QUIET_MIN) return undefined;
  const { times, pressures, uncertainties } = thinned(valuesPa, first, begun, endIndex, noise);
  const fallen = endIndex - begun;
  const endX = blowDownProgress(1 - depth / level, gamma);
  const from = (sooner: number, shape: number) =>
    fitLeastSquares({
      // Time in samples from the end of the stretch, so that shape and size of the fall hardly depend on each other.
      predict: ([p1 = 0, t0 = 0, end = 0, m = 0, c = 0]) =>
        times.map((t) => {
          if (t <= t0) return p1;
          const u = (t - t0) / Math.max(1e-6, endIndex - t0);
          return p1 * blowDownRatio(Math.max(0, end * u ** m * (1 + c * (1 - u))), gamma);
        }),
      observed: pressures,
      weightUncertainty: uncertainties,
      parameters: [
        { name: 'pressure before', unit: 'Pa', start: level, prior: UNKNOWN, step: noise / 20 },
        { name: 'opening', unit: 'samples', start: begun - Math.max(1, fallen * sooner), prior: UNKNOWN, step: 0.02 },
        { name: 'fall', unit: '1', start: endX, prior: UNKNOWN },
        { name: 'power', unit: '1', start: shape, prior: POWER },
        { name: 'bend', unit: '1', start: 0, prior: BEND, step: 1e-4 },
      ],
      influences: () => [],
    });
  // The corner at the opening can hold up a search that begins on the wrong side of it.
  const fit = from(0.3, 2) ?? from(0.05, 1.3) ?? from(1, 3);
  const at = fit?.values[1];
  const variance = fit?.covariance[1]?.[1];
  const before = fit?.values[0];
  // Nor is a search that ran out of the stretch an opening in it.
  const isInside = at !== undefined && at >= first && at <= endIndex;
  if (!fit || !isInside || variance === undefined || before === undefined) return between(trace, { begun, endIndex, level, noise });
  const widening = Math.sqrt(Math.max(1, fit.chiSquared / Math.max(1, fit.degreesOfFreedom)));
  return {
    atS: fromS + at * periodS,
    standardUncertaintyS: widening * Math.sqrt(variance) * periodS,
    beforePa: { value: before, standardUncertainty: widening * Math.sqrt(fit.covariance[0]?.[0] ?? 0) },
  };
}

/**
 * Where no shape can be fitted: after a level stretch, before the fall leaves the noise. The softest start (m = 3.5, the
 * noise a third of the fall) is 2.7 times as long before that as the fall takes after it.
 */
function between(
  { fromS, periodS }: PressureTrace,
  { begun, endIndex, level, noise }: { readonly begun: number; readonly endIndex: number; readonly level: number; readonly noise: number },
): ValveOpening {
  const half = (SOFTEST * (endIndex - begun)) / 2;
  return {
    atS: fromS + (begun - half) * periodS,
    standardUncertaintyS: rectangularStandardUncertainty(half * periodS),
    beforePa: { value: level, standardUncertainty: noise / Math.sqrt(QUIET_MIN) },
  };
}

const SOFTEST = 2.7;
const UNKNOWN = { value: 0, standardUncertainty: Number.POSITIVE_INFINITY };

/** Quiet samples joined by tens far from the fall; the fall itself joined only where it is long. */
function thinned(values: readonly number[], first: number, begun: number, end: number, noise: number) {
  const times: number[] = [];
  const pressures: number[] = [];
  const uncertainties: number[] = [];
  const near = Math.max(first, begun - (end - begun));
  const join = (from: number, to: number, size: number): void => {
    for (let i = from; i < to; i += size) {
      const part = values.slice(i, Math.min(to, i + size));
      times.push(i + (part.length - 1) / 2);
      pressures.push(part.reduce((sum, p) => sum + p, 0) / part.length);
      uncertainties.push(noise / Math.sqrt(part.length));
    }
  };
  join(first, near, 10);
  join(near, end + 1, Math.max(1, Math.ceil((end + 1 - near) / POINTS_MAX)));
  return { times, pressures, uncertainties };
}
