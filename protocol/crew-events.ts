/** What follows from the crew's acts: hold points, adjusted channels, aim and impact. SI. */
import type { Adjustment, OperatorAct, TargetPoint } from './operator.ts';
import type { SessionNs } from './record.ts';
import type { Measured } from './watch-events.ts';

export interface HoldPointState {
  readonly id: string;
  readonly name: string;
  readonly by: 'crew' | 'condition';
  readonly done: boolean;
  /** Since when it has been so. */
  readonly sinceNs: SessionNs;
  /** Who ticked it; for a condition, empty. */
  readonly who: string;
  /** Of a condition, in a few words: what is there, or what is missing. */
  readonly detail: string;
}

/**
 * The whole list at every change. It tells the crew what is missing; it is no interlock and stops nothing.
 * `ready` only while every point is done.
 */
export interface HoldPointsEvent {
  readonly type: 'hold-points';
  readonly atNs: SessionNs;
  readonly ready: boolean;
  readonly points: readonly HoldPointState[];
}

/** A channel was set to zero or calibrated. */
export interface AdjustedEvent {
  readonly type: 'adjusted';
  readonly atNs: SessionNs;
  readonly channel: string;
  readonly act: 'zero' | 'calibrate';
  readonly before: Adjustment;
  readonly after: Adjustment;
  readonly who: string;
}

/** An act that cannot be carried out: no such channel, shot, limit or hold point. */
export interface ActRefusedEvent {
  readonly type: 'act-refused';
  readonly atNs: SessionNs;
  readonly act: OperatorAct['act'];
  /** One plain sentence: what, and what to do. */
  readonly why: string;
}

export interface ShotExcludedEvent {
  readonly type: 'shot-excluded';
  readonly atNs: SessionNs;
  readonly shotId: string;
  readonly excluded: boolean;
  readonly reason: string;
  readonly who: string;
}

/** One shot of a series on the target. */
export interface Impact {
  readonly shotId: string;
  readonly at: TargetPoint;
  /** Of the sight when it was fired; undefined where nobody said. */
  readonly aim?: TargetPoint;
  /** Predicted fall below the line of launch, of the measured flight. */
  readonly dropM?: number;
}

/** All impacts of the session, told at each new one. */
export interface ImpactsEvent {
  readonly type: 'impacts';
  readonly atNs: SessionNs;
  readonly impacts: readonly Impact[];
  /** Mean point of impact against the aim. */
  readonly mean?: { readonly rightM: Measured; readonly upM: Measured };
  /** Standard deviation of one shot, each way; from two shots on. */
  readonly spreadM?: { readonly right: number; readonly up: number };
  /** What to hold next: the mean offset, reversed. */
  readonly holdNext?: TargetPoint;
  readonly aim?: TargetPoint;
}

export type CrewEvent = HoldPointsEvent | AdjustedEvent | ActRefusedEvent | ShotExcludedEvent | ImpactsEvent;

/** A text instrument's lines, counted; at most once a second. */
export interface TextLinesEvent {
  readonly type: 'text-lines';
  readonly atNs: SessionNs;
  readonly source: string;
  readonly lines: number;
  readonly linesPerS: number;
  /** Longer than three usual intervals. */
  readonly gaps: number;
  /** By reason. */
  readonly unread: Readonly<Record<string, number>>;
  /** At most 80 characters, control characters shown as escapes. */
  readonly lastUnread: string;
}
