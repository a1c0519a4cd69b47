/**
 * The pressure that a pump comes to at last, as far as its course tells it. No pressure is below zero: where gauge and fit
 * together allow nothing at all, only the most that it can be is told, and where the fit allows the present pressure,
 * nothing.
 */
import type { PumpDown } from '../../../protocol/index.ts';
import { measured } from './measured.ts';

export interface FittedBase {
  /** As the gauge reads, Pa. */
  readonly value: number;
  /** From the fit alone, Pa, k = 1. */
  readonly standardUncertainty: number;
  /** How far the course stands above it now, Pa. */
  readonly aboveNowPa: number;
}

/**
 * A base known worse than this share of the way that is still to go is extrapolated so far that its error is skewed, with a
 * long tail downwards: then only its upper end is told.
 */
const WELL_KNOWN_SHARE = 0.05;
/**
 * Likewise, where the fit's part is a larger share of the base itself: the first moment at which a wandering estimate is
 * called clear of zero would else be a moment at which it is too high. What the gauge is off by does not wander.
 */
const FIT_SHARE = 0.25;
/** Nearer to its base than this share of it, or than this, the pump is there: what is left cannot, and need not, stand out. */
const THERE_SHARE = 0.02;
const THERE_PA = 2;

/** Within so little of the base that the pump does no more. */
export const isAtBase = (aboveNowPa: number, pressurePa: number): boolean =>
  Math.abs(aboveNowPa) < Math.max(THERE_PA, THERE_SHARE * pressurePa);

export function baseTold(
  fitted: FittedBase,
  gaugeStandardUncertaintyPa: number,
): Pick<PumpDown, 'basePressurePa' | 'basePressureAtMostPa'> {
  const { value, standardUncertainty, aboveNowPa } = fitted;
  const ofFit = measured(value, standardUncertainty).expandedUncertainty;
  const isThere = isAtBase(Math.max(aboveNowPa, ofFit), value + aboveNowPa);
  if (ofFit >= aboveNowPa && !isThere) return {};
  const base = measured(value, standardUncertainty, gaugeStandardUncertaintyPa);
  const isWellKnown = ofFit < FIT_SHARE * value && (isThere || ofFit < WELL_KNOWN_SHARE * aboveNowPa);
  if (isWellKnown && value > base.expandedUncertainty) return { basePressurePa: base };
  const atMostPa = value + base.expandedUncertainty;
  // Below zero by more than the gauge may be off: what it reads is no pressure, and nothing follows from it.
  return atMostPa > 0 ? { basePressureAtMostPa: atMostPa } : {};
}
