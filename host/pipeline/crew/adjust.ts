/**
 * Setting a channel right on the range: to zero, or at two points. What is stored is the adjustment (gain and offset on
 * what the channel's own calibration gives), before and after.
 */
import type { Adjustment } from '../../../protocol/index.ts';

export type Adjusting = { readonly ok: true; readonly after: Adjustment } | { readonly ok: false; readonly why: string };

export interface ReadAndShould {
  /** What the channel's calibration gives, unadjusted. */
  readonly readSi: number;
  readonly shouldReadSi: number;
}

/** A zero that is further off than this part of the range is a fault to be found, not an offset to be taken off. */
const ZERO_SHARE_MAX = 0.1;
const GAIN = { min: 0.5, max: 2 };
/** Two points nearer than this part of the range tell the gain too badly. */
const APART_SHARE_MIN = 0.05;

/** @param rangeSi  width of the channel's calibrated range; undefined: nobody has stated it */
export function zeroed(before: Adjustment, { readSi, shouldReadSi }: ReadAndShould, rangeSi: number | undefined): Adjusting {
  if (![readSi, shouldReadSi].every(Number.isFinite)) return { ok: false, why: 'the channel gives no number now' };
  const offsetSi = shouldReadSi - readSi * before.gain;
  if (rangeSi !== undefined && Math.abs(offsetSi) > ZERO_SHARE_MAX * rangeSi)
    return { ok: false, why: `the zero would move by more than ${100 * ZERO_SHARE_MAX} % of the range; look for the fault first` };
  return { ok: true, after: { gain: before.gain, offsetSi } };
}

export function calibrated([first, second]: readonly [ReadAndShould, ReadAndShould], rangeSi: number | undefined): Adjusting {
  if (![first, second].every(({ readSi, shouldReadSi }) => Number.isFinite(readSi) && Number.isFinite(shouldReadSi)))
    return { ok: false, why: 'a point is no number' };
  const apart = Math.abs(second.readSi - first.readSi);
  if (apart === 0 || (rangeSi !== undefined && apart < APART_SHARE_MIN * rangeSi))
    return { ok: false, why: `the two points are nearer than ${100 * APART_SHARE_MIN} % of the range; take them further apart` };
  const gain = (second.shouldReadSi - first.shouldReadSi) / (second.readSi - first.readSi);
  if (!(gain >= GAIN.min && gain <= GAIN.max))
    return { ok: false, why: `the gain would be ${gain.toPrecision(3)}; check the points and their units` };
  return { ok: true, after: { gain, offsetSi: first.shouldReadSi - gain * first.readSi } };
}
