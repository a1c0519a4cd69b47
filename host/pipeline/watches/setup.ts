/** What the watches are told of the rig. SI, pressures absolute. */
import type { SiUnit, WeatherRole } from '../../../protocol/index.ts';

/** A block of one channel's samples, evenly spaced, calibrated, in the order of time. */
export interface WatchSamples {
  readonly channel: string;
  /** Session time of the record that brought it. */
  readonly atNs: number;
  readonly fromNs: number;
  readonly periodNs: number;
  readonly valuesSi: readonly number[];
  /** The channel's own numbers, that the values were made of: before conversion, zeroing and ambient. Absent: the values themselves. */
  readonly raw?: readonly number[];
  /** Of a gauge pressure: the ambient that was added to it, Pa. Absent: none was. */
  readonly ambientPa?: number;
  /** What the loop or the instrument reports against itself; the values are then not used. */
  readonly fault?: string;
}

export interface ChannelWatchSetup {
  readonly channel: string;
  /** Of a reading, k = 1: offset and gain, the part that averaging does not take away. */
  readonly standardUncertaintySi: number;
  /** Of the sensor's own rate of drift, k = 1, SI/s. */
  readonly driftSiPerS: number;
  /** One of its own numbers at or beyond one of these is the end of the transducer's range. */
  readonly rails?: readonly [low: number, high: number];
  /** Silent for so long is disconnected. */
  readonly silentAfterS: number;
  /** The same value to the bit for so long is stuck, whatever its history; absent: only its own history tells. */
  readonly identicalMaxS?: number;
  /** What it measures scatters by itself, as the wind does, now more and now less: it is never called noisy. */
  readonly scattersByNature?: true;
}

export interface FillSetup {
  readonly channel: string;
  /** Settled pressure to be reached; absent: none was set. */
  readonly targetPa?: number;
  /** The target is met within ± this. */
  readonly bandPa: number;
  /** Largest allowed fill. */
  readonly maximumPa: number;
  /** Below this the vessel counts as empty. */
  readonly emptyBelowPa: number;
  readonly gamma: number;
  readonly ambientPa: number;
  readonly wallTemperatureK: number;
  /** Of the rate at which the wall's temperature may drift, k = 1, K/s: it moves the pressure as a leak does. */
  readonly wallDriftKPerS: number;
  /** From the decision to shut the valve until it is shut, s. */
  readonly reactionS: number;
  /** Of the leak, k = 1, before anything was measured. */
  readonly leakExpectedPaPerS: number;
  /** The leak that the crew want to be able to see. */
  readonly leakToSeePaPerS: number;
}

export interface VacuumSetup {
  readonly channel: string;
  readonly targetPa?: number;
  readonly ambientPa: number;
}

export interface WeatherSetup {
  readonly channels: Readonly<Record<WeatherRole, string>>;
  readonly staleAfterS: number;
}

export interface LimitSetup {
  readonly id: string;
  readonly channel: string;
  readonly kind: 'above' | 'below' | 'risingFasterThan' | 'fallingFasterThan' | 'differsFrom';
  /** Of a difference: the other channel. */
  readonly from?: string;
  readonly unit: SiUnit;
  /** The air's pressure, where the limit is gauge: for the words. */
  readonly gaugeZeroPa?: number;
  /** SI, or SI a second for the rates; rates are positive both ways. */
  readonly limitSi: number;
  /** Beyond the limit for so long before it is told; 0: on the very sample. */
  readonly holdS: number;
  /** How far back inside the limit it must come to be gone; ≥ 0, in the unit of the limit. */
  readonly clearSi: number;
  readonly severity: 'alarm' | 'warning';
  /** What it means for the crew, one sentence. */
  readonly message: string;
}

export interface WatchSetup {
  /** That the gauge pressures' limits and targets are reckoned with, and the samples that are held against them, Pa. */
  readonly ambientPa?: number;
  readonly channels: readonly ChannelWatchSetup[];
  readonly fill?: FillSetup;
  readonly vacuum?: VacuumSetup;
  readonly weather?: WeatherSetup;
  readonly limits: readonly LimitSetup[];
}

/** Where a rig file says nothing better. The wall: 0.02 K a minute, what a steel bottle out of doors does. */
export const FILL_DEFAULTS = { wallDriftKPerS: 3e-4, reactionS: 2, leakExpectedPaPerS: 300, leakToSeePaPerS: 50 } as const;
export const SILENT_AFTER_S = 2;
