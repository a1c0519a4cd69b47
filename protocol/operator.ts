/** What persons do, as records: who did it, and for a change of a number what it was before and after. */

/** Added to what a channel's conversion gives: shown = si · gain + offsetSi. */
export interface Adjustment {
  readonly gain: number;
  readonly offsetSi: number;
}

/** A point in the target's plane, from where the line of sight meets it: right and up are positive, m. */
export interface TargetPoint {
  readonly rightM: number;
  readonly upM: number;
}

export type OperatorAct =
  /** On the session or on a shot. */
  | { readonly act: 'note'; readonly text: string; readonly shotId?: string; readonly who?: string }
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
  /** A shot left out of every fit, or taken in again. */
  | { readonly act: 'exclude'; readonly shotId: string; readonly excluded: boolean; readonly reason: string; readonly who: string };
