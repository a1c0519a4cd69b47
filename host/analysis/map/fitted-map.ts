import type { LinearGaussian, NormalPart } from '../../metrology/index.ts';
import type { LauncherSetup } from './launcher-setup.ts';
import type { MapLimits, MapProblem, MapShot } from './map-shot.ts';
import type { UsedGauges } from './parameters.ts';

/** One hypothesis of scatter and remainder, with what the coefficients then are: the z of parameters.ts, then the remainder's weights. */
export interface MapComponent {
  readonly weight: number;
  /** At the middle shot. */
  readonly scatter: number;
  /** Of the velocity by the valve, at the middle shot: where the valve scatters, it does so in proportion to this. Absent: alike everywhere. */
  readonly valveSlope?: number;
  readonly amplitude: number;
  readonly posterior: LinearGaussian;
}

/** How a shot stands to what the other shots say of it. */
export interface ShotScore {
  readonly id: string;
  /** Measured over expected, less 1. */
  readonly departure: number;
  /** In standard deviations of what was to be expected: a normal deviate of the same probability. */
  readonly score: number;
  /** Of a departure so large to either side, 0 to 1. */
  readonly tailProbability: number;
  /** Natural logarithm of the velocity to expect, by the other shots. */
  readonly expected: readonly NormalPart[];
}

export interface FittedMap {
  readonly setup: LauncherSetup;
  readonly limits: MapLimits;
  readonly problem: MapProblem;
  /** About which everything is linear. */
  readonly z: readonly number[];
  readonly components: readonly MapComponent[];
  readonly shotsUsed: readonly MapShot[];
  readonly scores: readonly ShotScore[];
  /** So far from what the others say that they are left out of the fit. */
  readonly setAside: readonly ShotScore[];
  /** As read by the gauges of the newest shot: what a question without a gauge is about. */
  readonly gauges: UsedGauges;
  /** What is needed of gas and air where a question does not say. Of the newest shot. */
  readonly present: { readonly gasTemperatureK: number; readonly airTemperatureK: number; readonly massKg: number };
}
