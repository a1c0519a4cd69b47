/** A shot as every reader sees it: the store, the pages, the exports. SI, units in the names. */

import type { ShotAcceptance } from './acceptance.ts';
import type { ShotCamera } from './camera.ts';
import type { Measured } from './measured.ts';
import type { Mass } from './operator.ts';
import type { SessionNs } from './record.ts';
import type { Result } from './result.ts';

export type EdgeVerdict = 'used' | 'rejected';

export interface ShotEdge {
  readonly gate: string;
  readonly active: boolean;
  readonly ticks: number;
  /** Since the firing, s; negative before it. */
  readonly timeS: number;
  readonly verdict: EdgeVerdict;
  /** Why it was rejected; empty where it was used. */
  readonly reason: string;
}

/** The projectile's passage of one gate, from the edges used, or from those of a gate that was left out. */
export interface GatePassage {
  readonly gate: string;
  readonly pair: string;
  readonly positionM: number;
  /** When the projectile's centre was in the beam, since the firing, s. */
  readonly timeS: number;
  /** Beam blocked for so long, s; undefined where only one edge was usable. */
  readonly occlusionS?: number;
  /** Length of the projectile in the beam: occlusion times the fitted speed there. */
  readonly chordM?: number;
  /** How far the projectile's centre passed from the beam, by its chord and its diameter; always positive. */
  readonly offAxisM?: number;
  /** Measured minus fitted passage time, s. */
  readonly residualS?: number;
  /** Of the measured time, as the fit weighs it, k = 1. */
  readonly timeStandardUncertaintyS?: number;
  /** By this gate's two edges alone: diameter over occlusion, which is the speed of a ball that passes through the beam's middle, and more for one beside it. */
  readonly occlusionVelocityMps?: { readonly value: number; readonly standardUncertainty: number };
}

export interface PairVelocity {
  readonly name: string;
  readonly gates: readonly [string, string];
  /** Where the velocity applies, m from the muzzle datum. */
  readonly positionM: number;
  readonly velocityMps: Result;
  /** What was added to spacing over time, since the mean speed over a pair is a little below the speed in its middle. */
  readonly dragCorrectionMps: number;
}

/** A value latched just before the firing. */
export interface Latched {
  readonly value: number;
  readonly unit: string;
  readonly standardUncertainty: number;
  /** Age of the newest sample in it at the firing, s. */
  readonly ageS: number;
  /** `measured`, or what it was assumed from. */
  readonly origin: 'measured' | 'assumed';
}

export interface ShotAir {
  readonly temperatureK: Latched;
  readonly pressurePa: Latched;
  /** 0 to 1. */
  readonly relativeHumidity: Latched;
  /** Along the range, positive from behind. */
  readonly tailwindMps: Latched;
  readonly speedOfSoundMps: Result;
  readonly densityKgM3: Result;
}

/** Evenly spaced calibrated samples around the firing. */
export interface PressureTrace {
  readonly channel: string;
  readonly stream: 'slow' | 'burst';
  /** Of the first sample, since the firing, s. */
  readonly fromS: number;
  readonly periodS: number;
  readonly valuesPa: readonly number[];
}

/** The reservoir's blow-down, by its trace around the firing. Pressures absolute. */
export interface BlowDown {
  /** Of the valve, s since the firing. */
  readonly openedAtS: Measured;
  readonly pressureBeforePa: Measured;
  /** At the end of the push, or of the trace where that is not known. */
  readonly pressureAfterPa: Measured;
  /** Of that pressure, s since the firing. */
  readonly afterAtS: number;
  readonly pressureDropPa: Measured;
  readonly energyDrawnJ: Result;
  /** Projectile's energy at the muzzle over energy drawn. */
  readonly efficiency?: Result;
}

/** What the reader of a shot must know before trusting it. Table with meanings: docs/shot.md. */
export type ShotFlag =
  | 'no-trigger'
  | 'gate-missed'
  | 'edges-rejected'
  | 'one-edge-only'
  | 'software-timed'
  | 'gate-rejected'
  | 'gate-doubtful'
  | 'far-off-axis'
  | 'chords-differ'
  | 'drag-not-resolved'
  | 'faster-than-possible'
  | 'no-velocity'
  | 'single-pair'
  | 'air-assumed'
  | 'air-stale'
  | 'air-in-sun'
  | 'air-outside-formula-range'
  | 'reservoir-missing'
  | 'reservoir-stale'
  | 'barrel-missing'
  | 'barrel-stale'
  | 'calibration-overdue'
  | 'clock-not-fitted'
  | 'edges-lost-on-board'
  | 'fetched-late'
  | 'before-session'
  | 'cut-short';

/** The crew left a shot out of every mean and fit. */
export interface ShotExclusion {
  /** Session time of the act. */
  readonly atNs: SessionNs;
  /** Of the act, where a later session than the shot's said it: `atNs` is of that one. */
  readonly sessionId?: string;
  readonly reason: string;
  readonly who: string;
}

/** The projectile's mass is not the rig file's: the crew weighed it. */
export interface ShotMass extends Mass {
  /** Session time of the act. */
  readonly atNs: SessionNs;
  readonly reason: string;
  readonly who: string;
  /** What the rig file says. */
  readonly insteadOf: Mass;
}

export interface Shot {
  readonly id: string;
  readonly sessionId: string;
  readonly number: number;
  readonly rigName: string;
  readonly projectile: string;
  readonly firedAtNs: SessionNs;
  /** ISO 8601, microseconds, Z. */
  readonly firedAt: string;
  readonly firedBy: 'trigger' | 'first edge' | 'blow-down';
  readonly edges: readonly ShotEdge[];
  readonly passages: readonly GatePassage[];
  /** Of gates that were left out since they disagree with the others, whose fit their residuals are against; absent where there is none. */
  readonly rejectedPassages?: readonly GatePassage[];
  readonly pairs: readonly PairVelocity[];
  /** At the muzzle datum. */
  readonly muzzleVelocityMps?: Result;
  readonly targetVelocityMps?: Result;
  readonly velocityLostMps?: Result;
  readonly muzzleEnergyJ?: Result;
  readonly targetEnergyJ?: Result;
  readonly muzzleMomentumNs?: Result;
  readonly targetMomentumNs?: Result;
  /** Of the airspeed at the muzzle datum. */
  readonly mach?: Result;
  /** At `dragMach` and `dragReynolds`: those of the mean airspeed between the first and the last gate. */
  readonly dragCoefficient?: Result;
  readonly dragMach?: Result;
  readonly dragReynolds?: Result;
  /** From the muzzle datum to the target. */
  readonly flightTimeS?: Result;
  /** Below the line of launch, at the target. */
  readonly targetDropM?: Result;
  readonly air: ShotAir;
  /** Of the reservoir's gas. */
  readonly reservoirTemperatureK?: Latched;
  /** Absolute. */
  readonly reservoirPressurePa?: Latched;
  /** Absolute. */
  readonly barrelPressurePa?: Latched;
  readonly traces: readonly PressureTrace[];
  /** Once it is closed; absent where the firing was timed by an edge at a gate, or no trace surely shows it. */
  readonly blowDown?: BlowDown;
  readonly flags: readonly ShotFlag[];
  /** Channels whose calibration was past its date; absent where there are none. */
  readonly calibrationOverdue?: readonly string[];
  /** Absent where the rig file asks for nothing. */
  readonly acceptance?: ShotAcceptance;
  /** Absent where the rig file's mass counts. */
  readonly weighed?: ShotMass;
  /** Absent where it is counted. The pipeline's own events never hold it: it is said later, of a shot that has been told. */
  readonly exclusion?: ShotExclusion;
  /** What cameras have of it, by their names; absent where none was told of. As an exclusion, said later. */
  readonly cameras?: readonly ShotCamera[];
}
