/** What the hold after a fill comes to: settled pressure, leak, and what could be seen of one. */
import type { BandVerdict, Hold, Measured, SessionNs, Settling } from '../../../protocol/index.ts';
import {
  DETECTION_FACTOR,
  type DecayFit,
  type DecayParameters,
  decayAt,
  durationToSee,
  fitDecay,
  straightLine,
} from '../../metrology/index.ts';
import { type Bin, type Binning, linePoint, spanMean } from './bins.ts';
import type { HoldState } from './fill-state.ts';
import { measured } from './measured.ts';
import type { ChannelWatchSetup, FillSetup } from './setup.ts';

/** A time constant known worse than this, relative, tells no settled pressure yet. */
const TIME_CONSTANT_KNOWN = 0.25;
const BINS_MIN = 8;
/** … and of one that may still be told as a line, widened. */
const LINE_FITS = 3;
/** Reduced chi-squared of a hold that is a line. */
const LINE_TELLS = 1.2;
const FIT_EVERY_NS = 0.5e9;
/** A long hold changes slowly: it is looked at again when it has grown by so much. */
const FIT_GROWTH = 0.05;

/** Fits anew where enough has come since. A course that is no single decay at its start is fitted without that start. */
export function refit(hold: HoldState, binning: Binning, setup: FillSetup, atNs: SessionNs): HoldState {
  const due = hold.fittedAtNs + Math.max(FIT_EVERY_NS, FIT_GROWTH * (hold.fittedAtNs - hold.fromNs));
  if (hold.bins.length < BINS_MIN || atNs < due) return hold;
  const spans = hold.bins.map((bin) => spanMean(bin, binning.noise, hold.fromNs));
  // A hold that a straight line already tells has no decay to look for, and looking where there is none is dear.
  if (!isTold(hold.fit)) {
    const line = straightLine(hold.bins.map((bin) => linePoint(bin, binning.noise, hold.fromNs)));
    if (line && line.reducedChiSquared < LINE_TELLS) return { ...hold, fittedAtNs: atNs };
  }
  const slope = { value: 0, standardUncertainty: setup.leakExpectedPaPerS };
  const startS = hold.fit ? Math.exp(hold.fit.logTimeConstant) : undefined;
  const fit = (startS && fitDecay({ spans, slope, startS })) || fitDecay({ spans, slope });
  const tail = spans.slice(spans.length >> 2);
  const better = fit && fit.reducedChiSquared > 4 && tail.length >= BINS_MIN ? fitDecay({ spans: tail, slope }) : undefined;
  const isBetter = fit && better && better.reducedChiSquared < fit.reducedChiSquared / 2;
  // A search that did not settle this time takes nothing away from what was known.
  return { ...hold, fit: (isBetter ? better : fit) ?? hold.fit, fittedAtNs: atNs };
}

/** The decay stands out and its time constant is known. */
export const isTold = (fit: DecayFit | undefined): fit is DecayFit =>
  fit !== undefined &&
  (fit.standardUncertainties[2] ?? 1) < TIME_CONSTANT_KNOWN &&
  Math.abs(fit.amplitude) > 4 * (fit.standardUncertainties[1] ?? Number.POSITIVE_INFINITY);

export function settlingOf(hold: HoldState, setup: FillSetup, channel: ChannelWatchSetup, atNs: SessionNs): Settling | undefined {
  const { fit } = hold;
  if (!isTold(fit)) return undefined;
  const nowS = (atNs - hold.fromNs) / 1e9;
  const settled = fit.quantity(([base = 0]) => base);
  const tau = fit.quantity(([, , logTau = 0]) => Math.exp(logTau));
  const settledPressurePa = measured(settled.value, settled.standardUncertainty, channel.standardUncertaintySi);
  const verdict = verdictOf(settledPressurePa, setup);
  const entry = setup.targetPa === undefined ? undefined : entryIn(fit, setup.targetPa, setup.bandPa, nowS, channel.standardUncertaintySi);
  return {
    settledPressurePa,
    timeConstantS: measured(tau.value, tau.standardUncertainty),
    remainingPa: fit.amplitude * Math.exp(-nowS / tau.value),
    verdict,
    ...(entry ? { withinBandInS: entry } : {}),
  };
}

function verdictOf(settled: Measured, { targetPa, bandPa }: FillSetup): BandVerdict {
  if (targetPa === undefined) return 'unsure';
  const off = settled.value - targetPa;
  if (off - settled.expandedUncertainty > bandPa) return 'above-band';
  if (off + settled.expandedUncertainty < -bandPa) return 'below-band';
  return Math.abs(off) + settled.expandedUncertainty <= bandPa ? 'within-band' : 'unsure';
}

/** Time from now until the fitted course comes within the band; 0 inside it, undefined where it does not come. */
function entryIn(fit: DecayFit, targetPa: number, bandPa: number, nowS: number, offsetPa: number): Measured | undefined {
  const tau = Math.exp(fit.logTimeConstant);
  const parameters = [fit.base, fit.amplitude, fit.logTimeConstant, fit.slope];
  const off = decayAt(parameters, nowS) - targetPa;
  if (Math.abs(off) <= bandPa) return measured(0);
  const edgePa = targetPa + Math.sign(off) * bandPa;
  const reach = (p: DecayParameters) => crossing(p, edgePa, nowS, nowS + 12 * tau);
  // Where it may as well end short of the edge, no time has a meaning.
  const doubtPa = 2 * Math.hypot(fit.standardUncertainties[0] ?? 0, offsetPa);
  const comesAnyway = [0, doubtPa, -doubtPa].every(
    (shift) => Math.abs(off + shift) <= bandPa || reach(parameters.with(0, fit.base + shift)) !== undefined,
  );
  if (!comesAnyway) return undefined;
  const found = fit.quantity((p) => (reach(p) ?? Number.NaN) - nowS);
  // The gauge's offset moves the edge.
  const steep = Math.abs(slopeAt(parameters, nowS + found.value));
  return Number.isFinite(found.standardUncertainty) ? measured(found.value, found.standardUncertainty, offsetPa / steep) : undefined;
}

const slopeAt = ([, amplitude = 0, logTau = 0, slope = 0]: DecayParameters, s: number): number =>
  slope - (amplitude / Math.exp(logTau)) * Math.exp(-s / Math.exp(logTau));

/** By halving: the course is monotonic where it still cools, and a decay within 12 time constants is over. */
function crossing(parameters: DecayParameters, edgePa: number, fromS: number, toS: number): number | undefined {
  const side = (s: number) => decayAt(parameters, s) - edgePa;
  if (side(fromS) * side(toS) > 0) return undefined;
  let low = fromS;
  let high = toS;
  for (let i = 0; i < 60; i++) {
    const mid = (low + high) / 2;
    if (side(low) * side(mid) <= 0) high = mid;
    else low = mid;
  }
  return (low + high) / 2;
}

/** From the line besides the decay or, where no decay stands out, from a line alone. */
export function holdOf(hold: HoldState, binning: Binning, setup: FillSetup, channel: ChannelWatchSetup): Hold | undefined {
  const last = hold.bins.at(-1);
  if (hold.bins.length < BINS_MIN || !last) return undefined;
  const line = isTold(hold.fit) ? hold.fit.quantity(([, , , slope = 0]) => slope) : lineOf(hold.bins, binning, hold.fromNs);
  if (!line) return undefined;
  const driftPaPerS = Math.hypot(channel.driftSiPerS, (last.mean / setup.wallTemperatureK) * setup.wallDriftKPerS);
  // At most the whole of the gauge's uncertainty is a gain error, at the top of its range.
  const gainPaPerS = line.value * (channel.standardUncertaintySi / setup.maximumPa);
  const leak = measured(-line.value, line.standardUncertainty, driftPaPerS, gainPaPerS);
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

function lineOf(bins: readonly Bin[], binning: Binning, originNs: number) {
  const line = straightLine(bins.map((bin) => linePoint(bin, binning.noise, originNs)));
  // A course that no line fits is no hold at rest.
  if (!line || line.reducedChiSquared > LINE_FITS) return undefined;
  const widening = Math.sqrt(Math.max(1, line.reducedChiSquared));
  return { value: line.slope, standardUncertainty: line.slopeStandardUncertainty * widening };
}
