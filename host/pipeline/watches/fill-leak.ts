/**
 * What a hold says of the leak. While the gas cools, its pressure falls a hundred times faster than any leak makes it, so a
 * leak is told only where the settling is known beside it or surely over; before that there is none to be told.
 */
import type { Hold } from '../../../protocol/index.ts';
import { DETECTION_FACTOR, durationToSee, type Line, type LinePoint, straightLine } from '../../metrology/index.ts';
import { type Bin, type Binning, linePoint } from './bins.ts';
import { BINS_MIN } from './fill-hold.ts';
import type { HoldState } from './fill-state.ts';
import { measured } from './measured.ts';
import { leakBeside, type Slope } from './settling-told.ts';
import type { ChannelWatchSetup, FillSetup } from './setup.ts';

/** Reduced chi-squared of a hold that may be told as a line, widened. */
const LINE_FITS = 3;
/** A settling of a longer time constant shows no bend; k = 1, s, of bottles and workshop vessels (our judgement). */
const HIDDEN_TIME_CONSTANT_S = 60;

/** Of a leak, k = 1: its own course is assumed, and it thins the gas whose cooling is told beside it (our judgement). */
const LEAK_COURSE = 0.025;

/** @returns undefined while the gas's settling is not known well enough beside it: too early to say */
export function holdOf(hold: HoldState, binning: Binning, setup: FillSetup, channel: ChannelWatchSetup): Hold | undefined {
  const last = hold.bins.at(-1);
  if (hold.bins.length < BINS_MIN || !last) return undefined;
  const line = leakBeside(hold.fit, (last.toNs - hold.fromNs) / 1e9, setup) ?? lineOf(hold.bins, binning, hold.fromNs);
  // Less than was known of leaks before anything was measured is nothing.
  if (!line || !(line.standardUncertainty < setup.leakExpectedPaPerS)) return undefined;
  const driftPaPerS = Math.hypot(channel.driftSiPerS, (last.mean / setup.wallTemperatureK) * setup.wallDriftKPerS);
  // At most the whole of the gauge's uncertainty is a gain error, at the top of its range.
  const gainPaPerS = line.value * (channel.standardUncertaintySi / setup.maximumPa);
  const leak = measured(-line.value, line.standardUncertainty, driftPaPerS, gainPaPerS, LEAK_COURSE * line.value);
  const durationS = (last.toNs - hold.fromNs) / 1e9;
  const periodS = binning.periodNs / 1e9;
  // What the cooling costs the line beside it shows as noise of as much; it only falls as the hold goes on.
  const asNoise = line.standardUncertainty * Math.sqrt(durationS ** 3 / (12 * periodS));
  const noise = { noise: Math.max(binning.noise.deviation, asNoise), periodS, driftPerS: driftPaPerS };
  const needed = durationToSee(noise, setup.leakToSeePaPerS);
  return {
    fromNs: hold.fromNs,
    durationS,
    leakPaPerS: leak,
    smallestLeakSeenPaPerS: DETECTION_FACTOR * Math.hypot(line.standardUncertainty, driftPaPerS),
    leakToSeePaPerS: setup.leakToSeePaPerS,
    ...(needed === undefined ? {} : { holdNeededS: needed }),
  };
}

/** Where no settling stands out: what one that is hidden in the bend, or in the noise of it, may add to the slope. */
function lineOf(bins: readonly Bin[], binning: Binning, originNs: number): Slope | undefined {
  const points = bins.map((bin) => linePoint(bin, binning.noise, originNs));
  const line = straightLine(points);
  // A course that no line fits is no hold at rest.
  if (!line || line.reducedChiSquared > LINE_FITS) return undefined;
  const widening = Math.sqrt(Math.max(1, line.reducedChiSquared));
  // What leaks leaks in proportion to what is there, so that its slope bends by itself.
  const own = line.slope ** 2 / line.levelAtMiddle;
  const bend = bendOf(points, line);
  // A decay's rate is its bend times its time constant.
  const hidden = HIDDEN_TIME_CONSTANT_S * Math.hypot(bend.value - own, widening * bend.standardUncertainty);
  const nowS = ((bins.at(-1)?.toNs ?? originNs) - originNs) / 1e9;
  return {
    value: line.slope + own * (nowS - line.middleX),
    standardUncertainty: Math.hypot(line.slopeStandardUncertainty * widening, hidden),
  };
}

/** Second derivative, SI/s²: of what the line leaves over, by the part of a square that level and slope do not take. */
function bendOf(points: readonly LinePoint[], line: Line): Slope {
  const squares = straightLine(points.map((p) => ({ ...p, y: (p.x - line.middleX) ** 2 })));
  if (!squares) return { value: 0, standardUncertainty: Number.POSITIVE_INFINITY };
  let product = 0;
  let sum = 0;
  for (const { x, y, standardUncertainty } of points) {
    const off = x - line.middleX;
    const left = off ** 2 - squares.levelAtMiddle - squares.slope * off;
    product += (left * (y - line.levelAtMiddle - line.slope * off)) / standardUncertainty ** 2;
    sum += (left / standardUncertainty) ** 2;
  }
  return { value: (2 * product) / sum, standardUncertainty: 2 / Math.sqrt(sum) };
}
