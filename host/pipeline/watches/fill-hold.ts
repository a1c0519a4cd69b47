/** What the settling after a fill comes to: the pressure, when it is there, and whether that is within the target's band. */
import type { BandVerdict, Measured, SessionNs, Settling } from '../../../protocol/index.ts';
import {
  type DecayFit,
  type DecayParameters,
  type DecayProblem,
  decayAt,
  fitDecay,
  type SpanMean,
  slopeAt,
  straightLine,
} from '../../metrology/index.ts';
import { type Binning, linePoint, spanMean } from './bins.ts';
import type { HoldState } from './fill-state.ts';
import { measured } from './measured.ts';
import { isTold, leakBeside } from './settling-told.ts';
import type { ChannelWatchSetup, FillSetup } from './setup.ts';

export const BINS_MIN = 8;
/** Reduced chi-squared of a hold that is a line. */
const LINE_TELLS = 1.2;
/** … and of one that is a single decay beside a leak. */
const DECAY_TELLS = 1.5;
const TAIL_BINS_MIN = 24;
const FIT_EVERY_NS = 0.5e9;
/** A long hold changes slowly: it is looked at again when it has grown by so much. */
const FIT_GROWTH = 0.05;
/** … and one in which no decay was found, by so much: to look where there is none is dear, and the host hears nothing meanwhile. */
const VAIN_GROWTH = 0.25;

/** @param fromNs  when the hold began */
export const lookAfter = (fromNs: SessionNs, atNs: SessionNs, growth = FIT_GROWTH): SessionNs =>
  atNs + Math.max(FIT_EVERY_NS, growth * (atNs - fromNs));

/** Fits anew where enough has come since. A course that is no single decay at its start is fitted without that start. */
export function refit(hold: HoldState, binning: Binning, setup: FillSetup, atNs: SessionNs): HoldState {
  if (hold.bins.length < BINS_MIN || atNs < hold.lookAtNs) return hold;
  const spans = hold.bins.map((bin) => spanMean(bin, binning.noise, hold.fromNs));
  // A hold that a straight line already tells has no decay to look for.
  if (!isTold(hold.fit)) {
    const line = straightLine(hold.bins.map((bin) => linePoint(bin, binning.noise, hold.fromNs)));
    if (line && line.reducedChiSquared < LINE_TELLS) return { ...hold, lookAtNs: lookAfter(hold.fromNs, atNs) };
  }
  const slope = { value: 0, standardUncertainty: setup.leakExpectedPaPerS };
  const startS = hold.fit ? Math.exp(hold.fit.logTimeConstant) : undefined;
  const fit = bestFit(spans, slope, startS);
  const leakFrom = (found: DecayFit | undefined) => leakBeside(found, (atNs - hold.fromNs) / 1e9, setup);
  // A search that did not settle this time takes nothing away from what was known, nor does one that now tells less of a leak.
  const keeps = !fit || (leakFrom(hold.fit) && !leakFrom(fit));
  return { ...hold, fit: keeps ? hold.fit : fit, lookAtNs: lookAfter(hold.fromNs, atNs, fit ? FIT_GROWTH : VAIN_GROWTH) };
}

/** The gas stirs and cools in its own way at first: what no single decay tells is left out from the start on, by quarters. */
function bestFit(spans: readonly SpanMean[], slope: DecayProblem['slope'] & object, startS: number | undefined): DecayFit | undefined {
  const fit = (startS && fitDecay({ spans, slope, startS })) || fitDecay({ spans, slope });
  const tail = spans.slice(spans.length >> 2);
  if (!fit || fit.reducedChiSquared < DECAY_TELLS || tail.length < TAIL_BINS_MIN) return fit;
  const better = bestFit(tail, slope, Math.exp(fit.logTimeConstant));
  return better && better.reducedChiSquared < fit.reducedChiSquared ? better : fit;
}

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
  const steep = Math.abs(slopeAt(parameters, nowS + found.value) - decayRate(parameters, nowS + found.value));
  return Number.isFinite(found.standardUncertainty) ? measured(found.value, found.standardUncertainty, offsetPa / steep) : undefined;
}

const decayRate = ([, amplitude = 0, logTau = 0]: DecayParameters, s: number): number =>
  (amplitude / Math.exp(logTau)) * Math.exp(-s / Math.exp(logTau));

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
