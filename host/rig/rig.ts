/** The rig, as the pipeline uses it: SI, checked, nothing left to default. Text and units end in resolve/. */
import type {
  AgreementSummary,
  CameraAgreementSummary,
  CameraSummary,
  CriterionSummary,
  FillSummary,
  HoldPointSummary,
  LimitSummary,
  VacuumSummary,
} from '../../protocol/index.ts';
import type { BoardSetup } from './board-setup.ts';
import type { Channel } from './channel.ts';
import type { TimeSeriesSetup } from './time-series-setup.ts';
import type { UncertainSi } from './uncertain-si.ts';

export interface Projectile {
  readonly name: string;
  readonly diameterM: UncertainSi;
  readonly massKg: UncertainSi;
}

export interface Gate {
  readonly name: string;
  readonly pair: string;
  readonly board: string;
  /** 1 to 8. */
  readonly input: number;
  /** From the muzzle datum along the flight line, > 0. */
  readonly positionM: UncertainSi;
  /** Detector and input delay against the other gates: its value is subtracted, its uncertainty counts in full. */
  readonly delayS: UncertainSi;
  /** Standard deviation of one edge's time, s. */
  readonly jitterS: number;
  /** Of the angle between the beam and square to the flight line, k = 1. */
  readonly squarenessStandardUncertaintyRad: number;
}

export interface AssumedAir {
  readonly temperatureK: UncertainSi;
  readonly pressurePa: UncertainSi;
  readonly relativeHumidity: UncertainSi;
}

export interface Rig {
  readonly name: string;
  readonly site: string;
  readonly projectile: Projectile;
  readonly reservoir: {
    readonly gas: string;
    readonly volumeM3: number;
    readonly ratedPressurePaGauge: number;
    readonly maximumFillPaGauge: number;
    /** Of the relief valve. */
    readonly reliefSettingPaGauge?: number;
  };
  readonly barrel: { readonly boreM: number; readonly lengthM: number };
  readonly targetPositionM: UncertainSi;
  /** Of the scale of all gates' places together: the tape that they were measured with. k = 1. */
  readonly tapeRelativeStandardUncertainty: number;
  /** How far to the side of where the beams' places were measured the projectile passes, k = 1. */
  readonly sidewaysStandardUncertaintyM: number;
  /** Wind along the range while firing, positive from behind the launcher, m/s. */
  readonly tailwindMps: UncertainSi;
  readonly boards: readonly BoardSetup[];
  readonly trigger?: { readonly board: string; readonly input: number };
  /** In the order of their position. */
  readonly gates: readonly Gate[];
  readonly channels: readonly Channel[];
  /** As the file states them; limitsOf adds those that follow from the vessel and the fill. */
  readonly limits: readonly LimitSummary[];
  readonly fill?: FillSummary;
  readonly vacuum?: VacuumSummary;
  readonly holdPoints: readonly HoldPointSummary[];
  readonly cameras: readonly CameraSummary[];
  /** What is asked of each shot. */
  readonly acceptance: readonly CriterionSummary[];
  readonly agreement?: AgreementSummary;
  readonly cameraAgreement: readonly CameraAgreementSummary[];
  /** Used, and said so, where no fresh reading of the air is at hand. */
  readonly assumedAir: AssumedAir;
  /** Readings of the air older than this are stale. */
  readonly airStaleAfterS: number;
  /** Where the session's points are sent; absent: nowhere. */
  readonly timeSeries?: TimeSeriesSetup;
}

/** What is wrong in a rig file. */
export interface RigProblem {
  /** 1-based; 0 where the problem is with the file as a whole. */
  readonly line: number;
  readonly column: number;
  /** Where in the file: `gates[2].at`. */
  readonly path: string;
  /** One plain sentence: what, and what to do. */
  readonly message: string;
}
