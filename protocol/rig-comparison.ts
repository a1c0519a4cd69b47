/** A recorded session reduced twice: under the rig file that it was recorded with, and under a corrected one. */

/** ± is the 95 % expanded uncertainty. */
export interface ComparedValue {
  readonly value: number;
  readonly expandedUncertainty: number;
}

export interface ComparedResult {
  /** As a command takes it. */
  readonly name: string;
  readonly title: string;
  /** Of the value, SI. */
  readonly unit: string;
  /** As which kind of quantity it is shown. */
  readonly kind: string;
  /** Absent where the shot has no such result under that rig file. */
  readonly recorded?: ComparedValue;
  readonly corrected?: ComparedValue;
  /** Corrected less recorded. Its uncertainty leaves out what both share. */
  readonly difference?: ComparedValue;
}

export interface ComparedShot {
  /** Under the recorded rig file, and where it found none, under the corrected one. */
  readonly id: string;
  readonly firedAt: string;
  /** Absent where that rig file makes no shot of it. */
  readonly recordedId?: string;
  readonly correctedId?: string;
  readonly recordedFlags: readonly string[];
  readonly correctedFlags: readonly string[];
  readonly results: readonly ComparedResult[];
}

export interface RigComparison {
  readonly session: string;
  /** Names of the two rig files. */
  readonly recordedRig: string;
  readonly correctedRig: string;
  readonly shots: readonly ComparedShot[];
}
