/**
 * The course of a hold in a bounded number of bins, fine where the gas settles and coarse long after. Joined anew and anew
 * from the oldest on, the settling would within a minute be one bin that tells no time constant, and the leak beside it
 * would be lost.
 */
import type { Bin } from './bins.ts';

const HOLD_BINS_MAX = 96;

/**
 * Adds a bin to those of a hold, in the order of time. At 96 the two neighbours are joined that are shortest together for
 * their age, so that a bin comes to be as long as about a tenth of the time since the hold began: the settling keeps its
 * shape, however long the hold.
 */
export function addToHold(bins: readonly Bin[], bin: Bin): readonly Bin[] {
  if (bins.length < HOLD_BINS_MAX) return [...bins, bin];
  const at = shortestPair(bins);
  const a = bins[at];
  const b = bins[at + 1];
  if (!a || !b) return [...bins.slice(1), bin];
  return [...bins.slice(0, at), joined(a, b), ...bins.slice(at + 2), bin];
}

/** @returns -1 where all neighbours are parted by gaps */
function shortestPair(bins: readonly Bin[]): number {
  const originNs = bins[0]?.fromNs ?? 0;
  let best = -1;
  let shortest = Number.POSITIVE_INFINITY;
  for (let i = 0; i + 1 < bins.length; i++) {
    const a = bins[i] as Bin;
    const b = bins[i + 1] as Bin;
    // Over a gap the joined mean would stand for a time that nobody measured.
    if (b.fromNs - a.toNs > Math.min(lengthNs(a), lengthNs(b))) continue;
    const share = (b.toNs - a.fromNs) / (b.toNs - originNs);
    if (share < shortest) [best, shortest] = [i, share];
  }
  return best;
}

const lengthNs = (bin: Bin): number => bin.toNs - bin.fromNs;

function joined(a: Bin, b: Bin): Bin {
  const count = a.count + b.count;
  return { fromNs: a.fromNs, toNs: b.toNs, count, mean: (a.mean * a.count + b.mean * b.count) / count };
}
