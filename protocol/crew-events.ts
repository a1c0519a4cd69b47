/** What follows from the crew's acts: hold points, adjusted channels, aim and impact. SI. */

import type { ShotCamera } from './camera.ts';
import type { CameraTrack } from './camera-track.ts';
import type { Measured } from './measured.ts';
import type { Adjustment, Mass, OperatorAct, TargetPoint } from './operator.ts';
import type { SessionNs } from './record.ts';

export interface HoldPointState {
  readonly id: string;
  readonly name: string;
  readonly by: 'crew' | 'condition';
  readonly done: boolean;
  /** Since when it has been so. */
  readonly sinceNs: SessionNs;
  /** Who ticked it or took the tick back; for a condition and after a firing, empty. */
  readonly who: string;
  /** In a few words: of a condition what is there, or what is missing; of the crew's point why its tick was taken back. */
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
  /** Of the shot, where that is an earlier session than this one. */
  readonly sessionId?: string;
  readonly excluded: boolean;
  readonly reason: string;
  readonly who: string;
}

/** The mass of a shot's projectile was changed; the shot, reduced anew, follows. */
export interface ShotWeighedEvent {
  readonly type: 'shot-weighed';
  readonly atNs: SessionNs;
  readonly shotId: string;
  readonly before: Mass;
  readonly after: Mass;
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
  /** Left out of mean and spread, as the crew said. */
  readonly excluded?: true;
}

/**
 * The newest impacts of the session, told at each change. Mean, spread and correction are of the series: the impacts
 * of shots fired since the aim was last set.
 */
export interface ImpactsEvent {
  readonly type: 'impacts';
  readonly atNs: SessionNs;
  readonly impacts: readonly Impact[];
  /** Mean point of impact against the aim, from two shots on; its interval is by Student's t. */
  readonly mean?: { readonly rightM: Measured; readonly upM: Measured };
  /** Standard deviation of one shot, each way; from two shots on. */
  readonly spreadM?: { readonly right: number; readonly up: number };
  /** Where to aim next, from the point that is to be hit: the mean offset, reversed. From one shot on. */
  readonly holdNext?: TargetPoint;
  readonly aim?: TargetPoint;
}

/**
 * A pressure channel that is open to the air, as far as can be seen, held against the air's pressure; told when the
 * verdict changes or the offset has moved.
 * none: nothing that its scatter and the barometer would not explain. within-claim: off, by no more than the rig file
 * allows it. beyond-claim: off by more.
 */
export interface OffsetEvent {
  readonly type: 'offset';
  readonly atNs: SessionNs;
  readonly channel: string;
  /** What it shows too much; from its scatter and, for an absolute gauge, the barometer. */
  readonly offsetSi: Measured;
  /** Of one reading as the rig file states it, expanded (k = 2). */
  readonly claimedSi: number;
  readonly verdict: 'none' | 'within-claim' | 'beyond-claim';
  readonly words: string;
}

/** A camera's clip was named, or its track marked. */
export interface CameraActEvent {
  readonly type: 'camera-act';
  readonly atNs: SessionNs;
  readonly shotId: string;
  readonly camera: string;
  /** Empty: as it was. */
  readonly clip: string;
  /** Absent: as it was. */
  readonly track?: CameraTrack;
  readonly who: string;
}

/** A camera's track does not count any more, or counts again. */
export interface TrackWithdrawnEvent {
  readonly type: 'track-withdrawn';
  readonly atNs: SessionNs;
  readonly shotId: string;
  readonly camera: string;
  readonly withdrawn: boolean;
  readonly reason: string;
  readonly who: string;
}

/** What a camera has of a shot now: after an act, and where the shot itself is told anew. */
export interface ShotCameraEvent {
  readonly type: 'shot-camera';
  readonly atNs: SessionNs;
  readonly shotId: string;
  readonly of: ShotCamera;
}

export type CrewEvent =
  | HoldPointsEvent
  | AdjustedEvent
  | ActRefusedEvent
  | ShotExcludedEvent
  | ShotWeighedEvent
  | ImpactsEvent
  | OffsetEvent
  | CameraActEvent
  | TrackWithdrawnEvent
  | ShotCameraEvent;

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
