/** What a page needs to know of the rig: names, geometry, ranges, limits and aims. */

import type { AgreementSummary, CameraAgreementSummary, CriterionSummary } from './acceptance.ts';

export type BoardKind = 'gate-board' | 'firmata' | 'text';

export interface BoardSummary {
  readonly name: string;
  readonly kind: BoardKind;
}

export type Measure = 'pressure' | 'temperature' | 'ratio' | 'speed' | 'voltage';
export type SiUnit = 'Pa' | 'K' | '1' | 'm/s' | 'V';

/** Names of channels that the program makes use of by itself. A rig file may name others, each with what it measures. */
export type ChannelRole =
  | 'reservoirPressure'
  | 'barrelPressure'
  | 'barrelVacuum'
  | 'airTemperature'
  | 'airPressure'
  | 'airHumidity'
  | 'reservoirTemperature'
  | 'tailwind';

export interface ChannelSummary {
  /** A well-known name or any other. */
  readonly name: string;
  readonly measures: Measure;
  readonly unit: SiUnit;
  readonly board: string;
  /** As the instrument reads; samples and ranges here are absolute whichever it is. */
  readonly reference: 'absolute' | 'gauge';
  /** Calibrated range, SI, absolute; left out for an instrument whose range the rig file does not state. */
  readonly rangeSi?: readonly [number, number];
  /** Of one reading as the instrument reads, SI, k = 2, as the rig file states it: for 95 %. */
  readonly expandedUncertaintySi: number;
  /** ISO dates. */
  readonly calibratedOn?: string;
  readonly calibrationDue?: string;
}

/** Why a raw number is no reading. Meanings: host/rig/raw-fault.ts. */
export type RawFault = 'railed-low' | 'railed-high' | 'loop-open' | 'loop-short' | 'outside-range';

/** A value that a channel shall not pass, or a rate that it shall not exceed. */
export interface LimitSummary {
  /** Unique in the rig. */
  readonly id: string;
  /** A channel of the rig. */
  readonly channel: string;
  readonly kind: 'above' | 'below' | 'rising-faster-than' | 'falling-faster-than' | 'differs-from';
  /** Of a difference: the other channel. */
  readonly from?: string;
  /** SI; a pressure as `reference` says; of a rate SI per second, > 0 for rising and for falling. */
  readonly thresholdSi: number;
  /** For pressures; `absolute` for all else, and without meaning for a rate. */
  readonly reference: 'absolute' | 'gauge';
  /** The condition must have held so long before it counts, s. */
  readonly holdS: number;
  /** Hysteresis: so far back on the good side of the threshold the condition is over. SI, or SI per second; > 0. */
  readonly clearSi: number;
  readonly severity: 'alarm' | 'warning';
  readonly message: string;
}

export type HoldCondition = 'fill-settled' | 'vacuum-at-target' | 'links-running' | 'gates-clear' | 'weather-fresh';

interface HoldPointBase {
  /** Unique in the rig. */
  readonly id: string;
  readonly name: string;
}

/** Ticked by a person, or by the program for as long as the condition holds. */
export type HoldPointSummary =
  | (HoldPointBase & { readonly by: 'crew' })
  | (HoldPointBase & { readonly by: 'condition'; readonly when: HoldCondition });

export interface FillSummary {
  readonly targetPaGauge: number;
  /** Settled within so much of the target counts as there, Pa. */
  readonly bandPa: number;
  readonly rateMaximumPaPerS?: number;
}

export interface VacuumSummary {
  /** Absolute. */
  readonly targetPa: number;
  readonly bandPa: number;
}

/** A value and its standard uncertainty (k = 1). */
export interface UncertainValue {
  readonly value: number;
  readonly standardUncertainty: number;
}

/** A camera beside the flight line. Lengths along it are from the muzzle datum. */
export interface CameraSummary {
  /** Unique in the rig. */
  readonly name: string;
  readonly frameRateHz: UncertainValue;
  readonly exposureS: number;
  /** Where a line from its lens meets the flight line at a right angle. */
  readonly placeM: UncertainValue;
  /** From its lens to the flight line. */
  readonly distanceM: UncertainValue;
  /** How far the marks are behind the flight line, as it sees them; negative: before it. */
  readonly standoffM: UncertainValue;
  /** Of the scale of all marks' places together, k = 1. */
  readonly scaleRelativeStandardUncertainty: number;
  /** Of the angle between its view and square to the flight line, k = 1. */
  readonly squarenessStandardUncertaintyRad: number;
  /** Of the place of one mark or one ball in a picture, k = 1. */
  readonly markingStandardUncertaintyPx: number;
  /** The exposure of that frame begins so long after the trigger; absent for a camera that runs by itself. */
  readonly trigger?: { readonly frame: number; readonly delayS: UncertainValue };
  readonly marks: readonly { readonly name: string; readonly positionM: UncertainValue; readonly standoffM?: UncertainValue }[];
}

/** What the gas dynamics of a launch follow from. */
export interface LauncherSummary {
  /** As the rig file names it. */
  readonly gas: string;
  readonly reservoirVolumeM3: number;
  readonly maximumFillPaGauge: number;
  readonly boreM: number;
  readonly barrelLengthM: number;
}

export interface RigSummary {
  readonly name: string;
  readonly site: string;
  readonly projectile: { readonly name: string; readonly diameterM: number; readonly massKg: number };
  /** k = 1, of the projectile and of the places along the flight line; absent where an earlier version wrote this. */
  readonly claims?: {
    readonly diameterM: number;
    readonly massKg: number;
    /** Relative, of the scale of all places together. */
    readonly tape: number;
    /** How far the ball may pass to the side of the flight line. */
    readonly sidewaysM: number;
  };
  readonly barrelLengthM: number;
  readonly reservoirRatedPaGauge: number;
  /** Absent in a store or journal view that an earlier version made. */
  readonly launcher?: LauncherSummary;
  readonly targetPositionM: number;
  readonly gates: readonly {
    readonly name: string;
    readonly pair: string;
    readonly board: string;
    readonly input: number;
    readonly positionM: number;
  }[];
  readonly channels: readonly ChannelSummary[];
  readonly boards: readonly BoardSummary[];
  /** Those of the rig file, and those that follow from the vessel and the fill. */
  readonly limits: readonly LimitSummary[];
  readonly fill?: FillSummary;
  readonly vacuum?: VacuumSummary;
  /** In the order in which they are gone through. */
  readonly holdPoints: readonly HoldPointSummary[];
  /** Absent where the rig file names none. */
  readonly cameras?: readonly CameraSummary[];
  /** What is asked of each shot; absent in a session of an earlier version. */
  readonly acceptance?: readonly CriterionSummary[];
  readonly agreement?: AgreementSummary;
  /** Absent where none is asked. */
  readonly cameraAgreement?: readonly CameraAgreementSummary[];
}
