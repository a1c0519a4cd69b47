/** Shots as a list is made of: each one flat row, and what was done to it since. */
import type { AdjustedEvent, CameraActEvent, ShotExcludedEvent, ShotWeighedEvent, TrackWithdrawnEvent } from './crew-events.ts';
import type { NoteEvent } from './events.ts';

/** SI; null where the shot has no such result. */
export interface ShotTableRow {
  readonly id: string;
  readonly session: string;
  readonly number: number;
  /** UTC, ISO 8601 to the microsecond; empty where the shot does not say. */
  readonly firedAt: string;
  readonly rig: string;
  readonly projectile: string;
  readonly muzzleVelocityMps: number | null;
  readonly muzzleVelocityStandardUncertaintyMps: number | null;
  readonly targetVelocityMps: number | null;
  readonly targetVelocityStandardUncertaintyMps: number | null;
  readonly mach: number | null;
  readonly machStandardUncertainty: number | null;
  readonly dragCoefficient: number | null;
  readonly dragCoefficientStandardUncertainty: number | null;
  readonly reservoirPressurePa: number | null;
  readonly barrelPressurePa: number | null;
  readonly flags: readonly string[];
  readonly excluded: boolean;
  /** Why and by whom it was left out; empty where it was not. */
  readonly excludedBecause: string;
  readonly excludedBy: string;
  /** What the crew wrote down about it, oldest first. */
  readonly notes: readonly string[];
}

/** Something that was done to a shot, or before it to a gauge of its session. */
export interface StoredAct {
  /** In which session it was done. */
  readonly session: string;
  /** UTC, ISO 8601 to the microsecond; empty where the session does not say. */
  readonly at: string;
  readonly event: NoteEvent | ShotExcludedEvent | ShotWeighedEvent | AdjustedEvent | CameraTold | TrackWithdrawnEvent;
}

/** Of a track, how much was marked: the places themselves are with the shot. */
export type CameraTold = Omit<CameraActEvent, 'track'> & { readonly marked?: { readonly marks: number; readonly frames: number } };
