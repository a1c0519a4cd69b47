/** What persons do, as records: who did it, and for a change of a number what it was before and after. */
import type { CameraTrack } from './camera-track.ts';
import type { Measure, RawFault, SiUnit } from './rig-summary.ts';

/** Applied to what a channel's conversion gives, as the instrument reads (gauge stays gauge): shown = si · gain + offsetSi. */
export interface Adjustment {
  readonly gain: number;
  readonly offsetSi: number;
}

/** A point in the target's plane, from the point that is to be hit, as the launcher sees it: right and up are positive, m. */
export interface TargetPoint {
  readonly rightM: number;
  readonly upM: number;
}

export interface Mass {
  readonly valueKg: number;
  /** k = 1. */
  readonly standardUncertaintyKg: number;
}

export type OperatorAct =
  /** On the session or on a shot. `sessionId` as of an exclusion. */
  | { readonly act: 'note'; readonly text: string; readonly shotId?: string; readonly sessionId?: string; readonly who?: string }
  /** A limit's alarm has been seen. */
  | { readonly act: 'acknowledge'; readonly limitId: string; readonly who: string }
  /** A hold point of the crew's, done or taken back. */
  | { readonly act: 'hold-point'; readonly holdPointId: string; readonly done: boolean; readonly who: string }
  /** A channel set to zero: what it showed becomes what it should show. */
  | {
      readonly act: 'zero';
      readonly channel: string;
      readonly shouldReadSi: number;
      readonly before: Adjustment;
      readonly after: Adjustment;
      readonly who: string;
    }
  /** A channel calibrated at two points: what it showed, unadjusted, and what it should have shown. */
  | {
      readonly act: 'calibrate';
      readonly channel: string;
      readonly points: readonly [
        { readonly readSi: number; readonly shouldReadSi: number },
        { readonly readSi: number; readonly shouldReadSi: number },
      ];
      readonly before: Adjustment;
      readonly after: Adjustment;
      readonly who: string;
    }
  /** Where the sight points before a shot, against the point that is to be hit. */
  | { readonly act: 'aim'; readonly at: TargetPoint; readonly who: string }
  /** Where a shot struck. */
  | { readonly act: 'impact'; readonly shotId: string; readonly at: TargetPoint; readonly who: string }
  /**
   * A shot left out of every fit, or taken in again. With `sessionId` it is a shot of that earlier session: whoever takes
   * the act has seen that there is one, since a journal knows of no other journal's shots.
   */
  | {
      readonly act: 'exclude';
      readonly shotId: string;
      readonly sessionId?: string;
      readonly excluded: boolean;
      readonly reason: string;
      readonly who: string;
    }
  /** What a camera called its clip of a shot. */
  | { readonly act: 'clip'; readonly shotId: string; readonly camera: string; readonly clip: string; readonly who: string }
  /** The ball's way through a camera's pictures; told again, it takes the place of what was told before. An empty clip leaves the name that is known. */
  | {
      readonly act: 'camera-track';
      readonly shotId: string;
      readonly camera: string;
      readonly clip: string;
      readonly track: CameraTrack;
      readonly who: string;
    }
  /** A camera's track of a shot does not count any more, or counts again; what was told stays. */
  | {
      readonly act: 'withdraw-track';
      readonly shotId: string;
      readonly camera: string;
      readonly withdrawn: boolean;
      readonly reason: string;
      readonly who: string;
    }
  /** A shot's projectile had another mass than the rig file says; without one, the rig file's counts again. */
  | { readonly act: 'weigh'; readonly shotId: string; readonly mass?: Mass; readonly reason: string; readonly who: string };

/** What the host says to an act: `why` is one plain sentence without its full stop. */
export type ActAnswer = { readonly accepted: true } | { readonly accepted: false; readonly why: string };

/** What a channel shows now, so that somebody can decide what it should show. SI, as the instrument reads. */
export interface ChannelShown {
  readonly channel: string;
  readonly measures: Measure;
  readonly unit: SiUnit;
  readonly reference: 'absolute' | 'gauge';
  /** Mean of the last seconds, with the adjustment in it. */
  readonly shownSi: number;
  /** The same as it would be without an adjustment. */
  readonly unadjustedSi: number;
  /** Of the mean, from the scatter alone, k = 1. */
  readonly standardUncertaintySi: number;
  /** How far the second half of these seconds is above the first. */
  readonly movedSi: number;
  /** k = 1. */
  readonly movedStandardUncertaintySi: number;
  readonly samples: number;
  /** Of the newest sample. */
  readonly ageS: number;
  readonly adjustment: Adjustment;
  /** Why it is no reading; absent where it is one. */
  readonly fault?: RawFault;
  readonly ambient: { readonly pressurePa: number; readonly standardUncertaintyPa: number; readonly origin: 'measured' | 'assumed' };
}

/** A zero or a calibration ready to be done: whoever does it adds the name. */
export interface AdjustmentProposal {
  readonly act: Omit<Extract<OperatorAct, { act: 'zero' }>, 'who'> | Omit<Extract<OperatorAct, { act: 'calibrate' }>, 'who'>;
  /** What the channel shows now, and would show. */
  readonly showsSi: number;
  readonly wouldShowSi: number;
}
