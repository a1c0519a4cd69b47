/** What the vessel is doing, from its level, its rate and what it did before. */
import type { FillPhase } from '../../../protocol/index.ts';
import { decayAt } from '../../metrology/index.ts';
import { filledOverSettled, ventedOverSettled } from '../../physics/index.ts';
import type { Bin } from './bins.ts';
import type { FillState } from './fill-state.ts';
import type { Rate } from './rate.ts';
import { isTold } from './settling-told.ts';
import type { FillSetup } from './setup.ts';

/** Full in three hours: slower is no filling. The faster way out of a phase is half of it. */
const MOVING_SHARE_PER_S = 1e-4;
/** Asked ten times a second for hours: what chance gives once in a million askings. */
const SIGNIFICANT = 5;
/** Where no cooling can be told from the noise, so long without moving is steady. */
const FLAT_NS = 3e9;
/** Of the band: what is left to cool when it counts as settled. */
const SETTLED_OF_BAND = 0.25;

export function nextPhase(state: FillState, setup: FillSetup, bin: Bin): FillPhase {
  const { phase, rate } = state;
  const movingPaPerS = MOVING_SHARE_PER_S * setup.maximumPa;
  if (phase !== 'filling' && phase !== 'unknown' && bin.mean < setup.emptyBelowPa && !isMoving(rate, movingPaPerS, 1)) return 'empty';
  if (!rate) return phase;
  const rising = isMoving(rate, movingPaPerS, 1);
  const falling = isMoving(rate, movingPaPerS, -1);
  switch (phase) {
    case 'unknown':
      if (rising) return 'filling';
      if (falling) return 'falling';
      return bin.mean < setup.emptyBelowPa ? 'empty' : 'steady';
    case 'empty':
      return rising ? 'filling' : 'empty';
    case 'filling':
      return rate.slope > movingPaPerS / 2 ? 'filling' : 'settling';
    case 'falling':
      return rate.slope < -movingPaPerS / 2 ? 'falling' : 'settling';
    case 'steady':
      // The end of the cooling may still be quicker than a slow fill: only what it does not explain is a fall.
      return rising ? 'filling' : falling && (!isTold(state.hold?.fit) || isFasterThanTold(state, bin, setup)) ? 'falling' : 'steady';
    case 'settling':
      return fromSettling(state, setup, bin, rising, falling);
  }
}

/** Cooling falls and warming rises too: only what is more than either can do is venting or filling. */
function fromSettling(state: FillState, setup: FillSetup, bin: Bin, rising: boolean, falling: boolean): FillPhase {
  const { extreme, startPa, hold } = state;
  const peakPa = extreme?.mean ?? bin.mean;
  const filled = peakPa >= startPa;
  const lowestPa = filled ? peakPa / filledOverSettled(Math.max(startPa, 1), peakPa, setup.gamma) : peakPa - setup.bandPa;
  const highestPa = filled ? peakPa + setup.bandPa : peakPa / ventedOverSettled(startPa, Math.max(peakPa, 1), setup.gamma);
  if (rising && (filled || bin.mean > highestPa)) return 'filling';
  if (falling && (!filled || bin.mean < lowestPa || isFasterThanTold(state, bin, setup))) return 'falling';
  const fit = hold?.fit;
  if (hold && isTold(fit)) {
    const sinceS = (bin.toNs - hold.fromNs) / 1e9;
    const left = fit.quantity(([, amplitude = 0, logTau = 0]) => amplitude * Math.exp(-sinceS / Math.exp(logTau)));
    return Math.abs(left.value) + 2 * left.standardUncertainty < SETTLED_OF_BAND * setup.bandPa ? 'steady' : 'settling';
  }
  return !rising && !falling && bin.toNs - state.phaseSinceNs > FLAT_NS ? 'steady' : 'settling';
}

/** Well below where the cooling told a moment ago would have it, by more than half a second of moving. */
function isFasterThanTold({ hold, binning }: FillState, bin: Bin, setup: FillSetup): boolean {
  const fit = hold?.fit;
  if (!hold || !isTold(fit)) return false;
  const s = ((bin.fromNs + bin.toNs) / 2 - hold.fromNs) / 1e9;
  const told = fit.quantity((parameters) => decayAt(parameters, s));
  const doubt = 8 * Math.hypot(told.standardUncertainty, binning.noise.deviation / Math.sqrt(bin.count));
  return bin.mean < told.value - Math.max(doubt, 0.5 * MOVING_SHARE_PER_S * setup.maximumPa);
}

const isMoving = (rate: Rate | undefined, threshold: number, sign: 1 | -1): boolean =>
  rate !== undefined && sign * rate.slope > Math.max(threshold, SIGNIFICANT * rate.standardUncertainty);
