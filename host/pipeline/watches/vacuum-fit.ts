/** The pump-down's course and the leak-up's, in numbers. */
import type { LeakUp, PumpDown } from '../../../protocol/index.ts';
import { DETECTION_FACTOR, type DecayFit, fitDecay, straightLine } from '../../metrology/index.ts';
import { type Bin, type Binning, linePoint, spanMean } from './bins.ts';
import { measured } from './measured.ts';
import type { ChannelWatchSetup, VacuumSetup } from './setup.ts';
import { baseTold } from './vacuum-base.ts';

/** A stretch that began at a moment: the pump was started, or shut off. */
export interface Course {
  readonly fromNs: number;
  /** At most 96. */
  readonly bins: readonly Bin[];
  readonly fit: DecayFit | undefined;
  readonly fittedAtNs: number;
}

export const courseFrom = (bin: Bin): Course => ({ fromNs: bin.toNs, bins: [], fit: undefined, fittedAtNs: bin.toNs });

const BINS_MIN = 8;
const FIT_EVERY_NS = 0.5e9;
const FIT_GROWTH = 0.05;
const TIME_CONSTANT_KNOWN = 0.25;

/**
 * p = base + (p₀ − base)·exp(−t/τ): a pump of constant speed on a tight volume. A real pump slows near its end; a
 * course that is no single decay is fitted by its newer half.
 */
export function refitPumpDown(course: Course, binning: Binning, atNs: number): Course {
  const due = course.fittedAtNs + Math.max(FIT_EVERY_NS, FIT_GROWTH * (course.fittedAtNs - course.fromNs));
  if (course.bins.length < BINS_MIN || atNs < due) return course;
  const spans = course.bins.map((bin) => spanMean(bin, binning.noise, course.fromNs));
  const startS = course.fit ? Math.exp(course.fit.logTimeConstant) : undefined;
  const fit = (startS && fitDecay({ spans, startS })) || fitDecay({ spans });
  const newer = spans.slice(spans.length >> 1);
  const better = fit && fit.reducedChiSquared > 4 && newer.length >= BINS_MIN ? fitDecay({ spans: newer }) : undefined;
  const isBetter = fit && better && better.reducedChiSquared < fit.reducedChiSquared / 2;
  return { ...course, fit: (isBetter ? better : fit) ?? course.fit, fittedAtNs: atNs };
}

const isTold = (fit: DecayFit | undefined): fit is DecayFit =>
  fit !== undefined && (fit.standardUncertainties[2] ?? 1) < TIME_CONSTANT_KNOWN && fit.amplitude > 0;

export function pumpDownOf(course: Course, setup: VacuumSetup, channel: ChannelWatchSetup, atNs: number): PumpDown | undefined {
  const { fit } = course;
  if (!isTold(fit)) return undefined;
  const nowS = (atNs - course.fromNs) / 1e9;
  const tau = fit.quantity(([, , logTau = 0]) => Math.exp(logTau));
  const base = fit.quantity(([level = 0]) => level);
  const aboveNowPa = fit.amplitude * Math.exp(-nowS / tau.value);
  const known = {
    ...baseTold({ ...base, aboveNowPa }, channel.standardUncertaintySi),
    timeConstantS: measured(tau.value, tau.standardUncertainty),
  };
  const { targetPa } = setup;
  if (targetPa === undefined) return { ...known, target: 'none' };
  const nowPa = base.value + aboveNowPa;
  if (nowPa <= targetPa) return { ...known, target: 'reached', timeToTargetS: measured(0) };
  // What the gauge is off by, it is off by at the target too: only the scatter tells which of the two is lower.
  const doubt = 2 * base.standardUncertainty;
  if (targetPa < base.value - doubt) return { ...known, target: 'below-base' };
  if (targetPa < base.value + doubt) return { ...known, target: 'unsure' };
  const reached = fit.quantity(([level = 0, amplitude = 0, logTau = 0]) => -Math.exp(logTau) * Math.log((targetPa - level) / amplitude));
  const offsetS = (tau.value / (targetPa - base.value)) * channel.standardUncertaintySi;
  return { ...known, target: 'ahead', timeToTargetS: measured(Math.max(0, reached.value - nowS), reached.standardUncertainty, offsetS) };
}

/** How far the fitted course stands above its base now, in Pa; undefined before it is told. */
export function aboveBasePa({ fit, fromNs }: Course, atNs: number): number | undefined {
  return isTold(fit) ? fit.amplitude * Math.exp(-(atNs - fromNs) / 1e9 / Math.exp(fit.logTimeConstant)) : undefined;
}

/** The bins are those since the rise was noticed: what noticed it is left out, or it would always be too steep. */
export function leakUpOf(course: Course, binning: Binning, setup: VacuumSetup, channel: ChannelWatchSetup): LeakUp | undefined {
  const last = course.bins.at(-1);
  if (course.bins.length < BINS_MIN || !last) return undefined;
  const line = straightLine(course.bins.map((bin) => linePoint(bin, binning.noise, course.fromNs)));
  if (!line) return undefined;
  const widening = Math.sqrt(Math.max(1, line.reducedChiSquared));
  // At most the whole of the gauge's uncertainty is a gain error, at the top of its use.
  const gain = channel.standardUncertaintySi / setup.ambientPa;
  const ratePaPerS = measured(line.slope, line.slopeStandardUncertainty * widening, channel.driftSiPerS, line.slope * gain);
  return {
    fromNs: course.fromNs,
    durationS: (last.toNs - course.fromNs) / 1e9,
    ratePaPerS,
    smallestLeakSeenPaPerS: DETECTION_FACTOR * Math.hypot(line.slopeStandardUncertainty * widening, channel.driftSiPerS),
  };
}
