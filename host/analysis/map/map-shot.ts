import type { FiringConditions, LauncherSetup } from './launcher-setup.ts';

/** A shot as the map takes it. */
export interface MapShot {
  readonly id: string;
  /** As read. */
  readonly firing: FiringConditions;
  /** Of the readings, k = 1: what is drawn anew with each shot, beside the gauges' own errors. */
  readonly readingUncertainty: {
    readonly reservoirPressurePa: number;
    readonly barrelPressurePa: number;
    readonly gasTemperatureK: number;
  };
  readonly muzzleVelocityMps: { readonly value: number; readonly standardUncertainty: number };
  /** Which of the problem's gauges. */
  readonly reservoirGauge: string;
  readonly barrelGauge: string;
}

/** A gauge between two calibrations: its error is one and the same in every shot, so that no number of shots averages it away. */
export interface Gauge {
  readonly name: string;
  /** Of its readings, k = 1, Pa. */
  readonly standardUncertaintyPa: number;
}

/** The shots of one launcher with one kind of projectile. */
export interface MapProblem {
  readonly setup: LauncherSetup;
  readonly reservoirGauges: readonly Gauge[];
  readonly barrelGauges: readonly Gauge[];
  /** Oldest first. */
  readonly shots: readonly MapShot[];
  readonly limits: MapLimits;
}

/** What may be asked for. Absolute. */
export interface MapLimits {
  /** The rig's maximum fill. */
  readonly reservoirPressurePaMax: number;
  /** Of the air outside: a barrel that is open to it. */
  readonly ambientPressurePa: number;
}
