/** What a test standard or a customer asks of a shot, and what each shot came to. SI, units in the names or beside. */

export type AskedResult = 'muzzle-velocity' | 'target-velocity' | 'mach' | 'muzzle-energy' | 'target-energy';

/**
 * plain: within the band is accepted. guarded: accepted only so far within it, and rejected only so far outside it, that
 * the uncertainty cannot have decided.
 */
export type DecisionRule = 'plain' | 'guarded';

export interface CriterionSummary {
  /** Of the test, standard or customer. */
  readonly name: string;
  readonly of: AskedResult;
  readonly unit: 'm/s' | 'J' | '1';
  /** One of the two at least. */
  readonly fromSi?: number;
  readonly toSi?: number;
  readonly rule: DecisionRule;
  /** Of the expanded uncertainty; 0 for the plain rule. */
  readonly guardFactor: number;
}

/** Two velocities of one shot that were measured apart shall agree. */
export interface AgreementSummary {
  readonly pairs: readonly [string, string];
  readonly withinMps: number;
  readonly rule: DecisionRule;
  readonly guardFactor: number;
}

/** A camera's velocity of a shot and the gates' shall agree, at the gates' place. */
export interface CameraAgreementSummary {
  readonly camera: string;
  readonly withinMps: number;
  readonly rule: DecisionRule;
  readonly guardFactor: number;
}

export type Acceptance = 'accepted' | 'rejected' | 'undecided';

export interface CriterionVerdict extends CriterionSummary {
  readonly verdict: Acceptance;
  /** How far within the band a value must lie to be accepted. */
  readonly guardSi: number;
  readonly value?: number;
  readonly expandedUncertainty?: number;
  /** That the true value lies within the band. */
  readonly conformanceProbability?: number;
  /** One plain sentence without its full stop. */
  readonly why: string;
}

export interface AgreementVerdict extends AgreementSummary {
  readonly verdict: 'agree' | 'disagree' | 'undecided';
  /** Where both were brought to, from the muzzle datum. */
  readonly positionM?: number;
  /** Of the first less the second there. */
  readonly differenceMps?: number;
  readonly expandedUncertaintyMps?: number;
  readonly why: string;
}

export interface CameraAgreementVerdict extends CameraAgreementSummary {
  readonly verdict: AgreementVerdict['verdict'];
  /** Where both are told: `datum`, or `pair A`. */
  readonly place?: string;
  readonly positionM?: number;
  /** Of the camera less the gates there. */
  readonly differenceMps?: number;
  readonly expandedUncertaintyMps?: number;
  readonly why: string;
}

export interface ShotAcceptance {
  /** Rejected by one is rejected; accepted by all, with velocities that agree, is accepted. */
  readonly verdict: Acceptance;
  readonly criteria: readonly CriterionVerdict[];
  readonly agreement?: AgreementVerdict;
  /** Absent where none is asked; undecided until the camera's track is told. */
  readonly cameraAgreement?: readonly CameraAgreementVerdict[];
}
