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

/** 10 numbers. */
export interface Binning {
  readonly noise: Noise;
  /** From sample to sample; of samples that come alone, and late by now more, now less, the usual one. */
  readonly periodNs: number;
  /** Of the newest sample. */
  readonly lastNs: number;
  readonly open: { readonly fromNs: number; readonly count: number; readonly sum: number } | undefined;
}

export const NO_BINS: Binning = { noise: NO_NOISE, periodNs: 0, lastNs: Number.NEGATIVE_INFINITY, open: undefined };

/** In periods beyond the one that is due: a block is timed by its board, a sample that comes alone by its arrival. */
const GAP = { block: 0.75, alone: 1.5 };
/** The usual period follows a change of rate within some ten samples, and one late sample hardly moves it. */
const FOLLOWS = { share: 1 / 8, most: 4 };

/** @returns also the bins that were completed by these samples; one that a gap cut short is let go */
export function binSamples(binning: Binning, samples: WatchSamples, widthNs: number): readonly [Binning, readonly Bin[]] {
  const { fromNs, valuesSi } = samples;
  const { lastNs } = binning;
  // Sent again or out of order: what was counted is not counted twice.
  if (valuesSi.length === 0 || fromNs <= lastNs) return [binning, []];
  const isAlone = valuesSi.length === 1;
  // The first of samples that come alone says nothing yet of the time between them.
  const isFirst = lastNs === Number.NEGATIVE_INFINITY;
  const periodNs = !isAlone ? samples.periodNs : isFirst ? 0 : usualPeriodNs(binning.periodNs, samples.periodNs);
  const gap = fromNs - lastNs > (1 + (isAlone ? GAP.alone : GAP.block)) * periodNs;
  const noise = takeNoise(binning.noise, valuesSi, gap);
  const done: Bin[] = [];
  let open = gap ? undefined : binning.open;
  for (const [i, value] of valuesSi.entries()) {
    const atNs = fromNs + i * samples.periodNs;
    // A sample stands for the time half a period either side of it.
    const before = open ?? { fromNs: atNs - periodNs / 2, count: 0, sum: 0 };
    const [count, sum, toNs] = [before.count + 1, before.sum + value, atNs + periodNs / 2];
    const isFull = toNs - before.fromNs >= widthNs - periodNs / 2;
    if (isFull) done.push({ fromNs: before.fromNs, toNs, count, mean: sum / count });
    open = isFull ? undefined : { fromNs: before.fromNs, count, sum };
  }
  return [{ noise, periodNs, lastNs: fromNs + (valuesSi.length - 1) * samples.periodNs, open }, done];
}

const usualPeriodNs = (usualNs: number, periodNs: number): number =>
  usualNs === 0 ? periodNs : usualNs + FOLLOWS.share * (Math.min(periodNs, FOLLOWS.most * usualNs) - usualNs);

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
