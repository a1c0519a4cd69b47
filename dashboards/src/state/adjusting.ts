/** From what a channel showed and what it should have shown to its new adjustment: shown = unadjusted · gain + offset. */
import type { Adjustment } from '../../../protocol/index.ts';

export type AdjustAct = 'zero' | 'calibrate';

export const UNADJUSTED: Adjustment = { gain: 1, offsetSi: 0 };

/** SI, as the instrument reads: gauge stays gauge. `shown` is what the page shows, the present adjustment in it. */
export interface KnownPoint {
  readonly shownSi: number;
  readonly shouldReadSi: number;
}

export type Adjusting = { readonly ok: true; readonly after: Adjustment } | { readonly ok: false; readonly problem: string };

/** Two readings nearer than this part of their size are one reading: no slope can be taken from them. */
const LEAST_SPREAD = 1e-3;
/** A gain further off than this is a wrong unit, a wrong channel or a broken transducer, not a calibration. */
const GAIN_RANGE = [0.5, 2] as const;

/** What the channel would show with no adjustment. */
export const unadjustedSi = (shownSi: number, { gain, offsetSi }: Adjustment): number => (shownSi - offsetSi) / gain;

/** The gain stays, the offset takes up the difference. */
export function zeroed(before: Adjustment, { shownSi, shouldReadSi }: KnownPoint): Adjusting {
  return { ok: true, after: { gain: before.gain, offsetSi: before.offsetSi + (shouldReadSi - shownSi) } };
}

/** The straight line through both points. */
export function calibrated(before: Adjustment, [first, second]: readonly [KnownPoint, KnownPoint]): Adjusting {
  const [low, high] = [unadjustedSi(first.shownSi, before), unadjustedSi(second.shownSi, before)];
  const size = Math.max(Math.abs(low), Math.abs(high));
  if (!(Math.abs(high - low) > LEAST_SPREAD * size)) {
    return { ok: false, problem: 'Both readings are the same. Bring the instrument to a second state, well away from the first.' };
  }
  const gain = (second.shouldReadSi - first.shouldReadSi) / (high - low);
  if (!(gain >= GAIN_RANGE[0] && gain <= GAIN_RANGE[1])) {
    return {
      ok: false,
      problem: `These points ask for a gain of ${gain.toPrecision(3)}; only ${GAIN_RANGE[0]} to ${GAIN_RANGE[1]} is taken. Check the values and their unit.`,
    };
  }
  return { ok: true, after: { gain, offsetSi: first.shouldReadSi - gain * low } };
}
