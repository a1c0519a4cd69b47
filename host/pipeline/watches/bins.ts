/** Samples gathered into means over a tenth of a second, so that whatever follows costs the same at 1 kHz as at 10 Hz. */
import type { LinePoint, SpanMean } from '../../metrology/index.ts';
import { meanUncertainty, NO_NOISE, type Noise, takeNoise } from './noise.ts';
import type { WatchSamples } from './setup.ts';

export interface Bin {
  readonly fromNs: number;
  readonly toNs: number;
  readonly count: number;
  readonly mean: number;
}

/** 9 numbers. */
export interface Binning {
  readonly noise: Noise;
  readonly periodNs: number;
  readonly nextNs: number;
  readonly open: { readonly fromNs: number; readonly count: number; readonly sum: number } | undefined;
}

export const NO_BINS: Binning = { noise: NO_NOISE, periodNs: 0, nextNs: Number.NEGATIVE_INFINITY, open: undefined };

/** @returns also the bins that were completed by these samples; one that a gap cut short is let go */
export function binSamples(binning: Binning, samples: WatchSamples, widthNs: number): readonly [Binning, readonly Bin[]] {
  const { fromNs, periodNs, valuesSi } = samples;
  if (valuesSi.length === 0) return [binning, []];
  // Sent again or out of order: what was counted is not counted twice.
  if (fromNs < binning.nextNs - 0.75 * periodNs) return [binning, []];
  const gap = fromNs > binning.nextNs + 0.75 * periodNs || Math.abs(periodNs - binning.periodNs) > 0.01 * periodNs;
  const noise = takeNoise(binning.noise, valuesSi, gap);
  const perBin = Math.max(1, Math.round(widthNs / periodNs));
  const done: Bin[] = [];
  let open = gap ? undefined : binning.open;
  for (let i = 0; i < valuesSi.length; ) {
    const before: { readonly fromNs: number; readonly count: number; readonly sum: number } = open ?? {
      fromNs: fromNs + i * periodNs,
      count: 0,
      sum: 0,
    };
    const taken = Math.min(valuesSi.length - i, perBin - before.count);
    let sum = before.sum;
    for (let k = i; k < i + taken; k++) sum += valuesSi[k] as number;
    i += taken;
    const count = before.count + taken;
    open = count < perBin ? { fromNs: before.fromNs, count, sum } : undefined;
    // A sample stands for the time half a period either side of it.
    const start = before.fromNs - periodNs / 2;
    if (!open) done.push({ fromNs: start, toNs: fromNs + (i - 0.5) * periodNs, count, mean: sum / count });
  }
  return [{ noise, periodNs, nextNs: fromNs + valuesSi.length * periodNs, open }, done];
}

const HOLD_BINS_MAX = 96;

/** Adds a bin to those of a hold; at 96 neighbours are joined, so that a hold of any length keeps its whole course. */
export function addToHold(bins: readonly Bin[], bin: Bin): readonly Bin[] {
  if (bins.length < HOLD_BINS_MAX) return [...bins, bin];
  const joined: Bin[] = [];
  for (let i = 0; i < bins.length; i++) {
    const a = bins[i] as Bin;
    const b = bins[i + 1];
    // Over a gap the joined mean would stand for a time that nobody measured.
    if (!b || b.fromNs - a.toNs > a.toNs - a.fromNs) {
      joined.push(a);
      continue;
    }
    const count = a.count + b.count;
    joined.push({ fromNs: a.fromNs, toNs: b.toNs, count, mean: (a.mean * a.count + b.mean * b.count) / count });
    i++;
  }
  return [...joined, bin].slice(-HOLD_BINS_MAX);
}

export const middleNs = (bin: Bin): number => (bin.fromNs + bin.toNs) / 2;

export const linePoint = (bin: Bin, noise: Noise, originNs: number): LinePoint => ({
  x: (middleNs(bin) - originNs) / 1e9,
  y: bin.mean,
  standardUncertainty: meanUncertainty(noise, bin.count, bin.mean),
});

export const spanMean = (bin: Bin, noise: Noise, originNs: number): SpanMean => ({
  fromS: (bin.fromNs - originNs) / 1e9,
  toS: (bin.toNs - originNs) / 1e9,
  mean: bin.mean,
  standardUncertainty: meanUncertainty(noise, bin.count, bin.mean),
});
