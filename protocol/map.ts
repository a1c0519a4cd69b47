/** The pressure–velocity map of a launcher with a kind of projectile, as commands, reports and pages show it. SI; pressures absolute. */
import type { RigSummary } from './rig-summary.ts';
import type { ShotFlag } from './shot.ts';

/** What of a shot the map is made from. A `Shot` is one. */
export interface MapSource {
  readonly id: string;
  readonly sessionId: string;
  readonly rigName: string;
  readonly projectile: string;
  /** ISO 8601. */
  readonly firedAt: string;
  readonly flags: readonly ShotFlag[];
  readonly muzzleVelocityMps?: MapReading;
  readonly reservoirPressurePa?: MapReading;
  readonly barrelPressurePa?: MapReading;
  readonly reservoirTemperatureK?: MapReading;
  readonly air: { readonly temperatureK: MapReading; readonly pressurePa: MapReading };
  readonly exclusion?: { readonly reason: string; readonly who: string };
}

export interface MapReading {
  readonly value: number;
  readonly standardUncertainty: number;
}

/** A session as the map needs it. */
export interface MapSession {
  readonly id: string;
  readonly rig: RigSummary;
}

/** 95 %. */
export interface MapBand {
  readonly velocityMps: number;
  readonly lowMps: number;
  readonly highMps: number;
}

export interface MapCurvePoint {
  readonly reservoirPressurePa: number;
  /** Of the mean of many shots. */
  readonly mean: MapBand;
  /** Of one more shot. */
  readonly nextShot: MapBand;
}

/** Velocity over fill at one barrel pressure. */
export interface MapCurve {
  readonly barrelPressurePa: number;
  /** Stretches that the shots support, each without a gap. */
  readonly stretches: readonly (readonly MapCurvePoint[])[];
}

/** A shot against what the others say of it. */
export interface MapShotPoint {
  readonly shotId: string;
  readonly reservoirPressurePa: number;
  readonly reservoirStandardUncertaintyPa: number;
  readonly barrelPressurePa: number;
  readonly velocityMps: number;
  readonly velocityStandardUncertaintyMps: number;
  /** By all other shots, of what gates would read. */
  readonly expected: MapBand;
  /** Measured over expected, less 1. */
  readonly departure: number;
  /** In standard deviations of what was to be expected. */
  readonly score: number;
  /** Of a departure so large to either side, 0 to 1. */
  readonly tailProbability: number;
  /** Left out of the fit, as no shot of this map would be so far off by chance. */
  readonly isSetAside: boolean;
  /** What it comes to, in a sentence; empty where it is within the band. */
  readonly remark: string;
}

export interface MapSuggestion {
  readonly reservoirPressurePa: number;
  readonly barrelPressurePa: number;
  readonly kind: 'new' | 'reshoot';
  /** Of a reshoot: of which shot. */
  readonly of?: string;
  /** Of the map's mean, relative, k = 1, where it is largest in the region: now, and as to be expected after it. */
  readonly uncertaintyNow: number;
  readonly uncertaintyAfter: number;
  /** Of the shot, in shots without gas and pumping. */
  readonly cost: number;
  readonly why: string;
}

/** What may be asked for and was planned over. */
export interface MapRegion {
  readonly reservoirPa: readonly [low: number, high: number];
  readonly barrelPa: readonly [low: number, high: number];
}

export interface MapKind {
  readonly rigName: string;
  readonly projectile: string;
  readonly gas: string;
  readonly massKg: number;
  /** Of the newest shot's air: between gauge and absolute. */
  readonly ambientPressurePa: number;
  /** The rig's maximum fill. */
  readonly reservoirPressurePaMax: number;
  /** In the order of the fill. */
  readonly points: readonly MapShotPoint[];
  /** Shots that the map does not use, each with the reason. */
  readonly leftOut: readonly { readonly shotId: string; readonly why: string }[];
  readonly curves: readonly MapCurve[];
  /** Why there is no map; empty where there is one. */
  readonly noMap: string;
  /** From shot to shot, relative, k = 1. */
  readonly scatterRelative: number;
  /** Share of belief that the launch model alone does not do, 0 to 1. */
  readonly remainderProbability: number;
  /** Of all shots, each against the others: root mean square, relative; and how many lie in their 95 % band. */
  readonly leaveOneOut: { readonly rmsRelative: number; readonly within: number; readonly of: number };
  readonly region: MapRegion;
  /** Best first. Suggestions, no more. */
  readonly suggestions: readonly MapSuggestion[];
}

export interface MapReport {
  /** Newest first. */
  readonly kinds: readonly MapKind[];
  /** Shots of which no map can be made at all, each with the reason. */
  readonly without: readonly { readonly shotId: string; readonly why: string }[];
}

/** What velocity to expect of a fill and a vacuum. */
export type MapExpectation =
  | { readonly kind: 'expected'; readonly mean: MapBand; readonly nextShot: MapBand; readonly boundMps: number; readonly shots: number }
  | { readonly kind: 'refused'; readonly message: string };

/** What fill gives a velocity. */
export type MapFill =
  | {
      readonly kind: 'fill';
      readonly reservoirPressurePa: number;
      readonly lowPa: number;
      readonly highPa: number;
      readonly mean: MapBand;
      readonly nextShot: MapBand;
    }
  | {
      readonly kind: 'refused';
      readonly message: string;
      readonly shotThatHelps?: { readonly reservoirPressurePa: number; readonly barrelPressurePa: number };
    };
