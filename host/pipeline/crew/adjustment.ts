/**
 * Zero and two-point calibration as arithmetic: what a channel read without adjustment, what it should have read, and
 * the adjustment that follows. What cannot be right is refused: it is a gauge on the wrong line, a slipped unit or a
 * transducer that is broken, and none of these is mended by arithmetic.
 */
import type { Adjustment } from '../../../protocol/index.ts';
import { type Channel, conversionRange } from '../../rig/index.ts';
import { amountText } from '../../units/index.ts';

export interface AdjustmentPoint {
  /** Without adjustment. */
  readonly readSi: number;
  readonly shouldReadSi: number;
}

/** `why`: one plain sentence without its full stop. */
export type Adjusted = { readonly ok: true; readonly after: Adjustment } | { readonly ok: false; readonly why: string };

const GAIN_MIN = 0.5;
const GAIN_MAX = 2;
/** Of the channel's range. Nearer together, the points' own errors make the gain. */
const POINTS_APART_SHARE = 0.05;
/** Of the channel's range, from where the rig file or the last calibration has it. */
const ZERO_SHARE_MAX = 0.1;
/** Where the rig file states no range: so many standard uncertainties of a reading stand for it. */
const RANGE_OF_UNCERTAINTY = 200;

/** As the rig file has it. */
export const UNADJUSTED: Adjustment = { gain: 1, offsetSi: 0 };

/** What a channel shows, from what its conversion gives. */
export const adjusted = (si: number, { gain, offsetSi }: Adjustment): number => si * gain + offsetSi;

/** What its conversion gives, from what the channel shows. */
export const unadjusted = (shownSi: number, { gain, offsetSi }: Adjustment): number => (shownSi - offsetSi) / gain;

/** Length of the channel's range, SI. */
export function spanOf(channel: Channel): number {
  const range = conversionRange(channel.conversion);
  return range ? range[1] - range[0] : RANGE_OF_UNCERTAINTY * channel.standardUncertaintySi;
}

/**
 * Moves the channel so that it shows what it should where it stands now.
 * @param calibrated  what its last calibration came to, or no adjustment
 */
export function zeroed(
  channel: Channel,
  { readSi, shouldReadSi }: AdjustmentPoint,
  { before, calibrated }: { readonly before: Adjustment; readonly calibrated: Adjustment },
): Adjusted {
  if (!Number.isFinite(readSi) || !Number.isFinite(shouldReadSi)) return refused(`${channel.name} gives no number to set to zero by`);
  const after = { gain: before.gain, offsetSi: shouldReadSi - before.gain * readSi };
  const shiftSi = after.offsetSi - calibrated.offsetSi;
  const mostSi = ZERO_SHARE_MAX * spanOf(channel);
  // Written so that a range of NaN refuses too.
  if (Math.abs(shiftSi) <= mostSi && Number.isFinite(after.offsetSi)) return { ok: true, after };
  const by = amountText(Math.abs(shiftSi), channel.unit);
  return refused(
    `${channel.name} would move by ${by}, and a zero moves a channel by at most ${amountText(mostSi, channel.unit)}; see that it is where it should be, then calibrate it at two points or mend it`,
  );
}

/** The straight line through two points. */
export function calibrated(channel: Channel, [first, second]: readonly [AdjustmentPoint, AdjustmentPoint]): Adjusted {
  const all = [first.readSi, first.shouldReadSi, second.readSi, second.shouldReadSi];
  if (!all.every(Number.isFinite)) return refused(`a point of ${channel.name} is no number`);
  const apartSi = Math.abs(second.readSi - first.readSi);
  const leastSi = POINTS_APART_SHARE * spanOf(channel);
  if (!(apartSi >= leastSi && apartSi > 0)) {
    const text = `${amountText(apartSi, channel.unit)} apart`;
    return refused(
      `the two points of ${channel.name} are ${text}; take them at least ${amountText(leastSi, channel.unit)} apart, one near each end of what you use`,
    );
  }
  const gain = (second.shouldReadSi - first.shouldReadSi) / (second.readSi - first.readSi);
  const after = { gain, offsetSi: first.shouldReadSi - gain * first.readSi };
  if (gain >= GAIN_MIN && gain <= GAIN_MAX && Number.isFinite(after.offsetSi)) return { ok: true, after };
  return refused(
    `the two points of ${channel.name} make a gain of ${Number(gain.toPrecision(3))}, and only ${GAIN_MIN} to ${GAIN_MAX} is taken; check the units, and which point is which`,
  );
}

const refused = (why: string): Adjusted => ({ ok: false, why });
