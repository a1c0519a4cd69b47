/** What the crew's fold carries from record to record. Plain values, every list of them bounded. */
import type {
  Adjustment,
  FillEvent,
  Health,
  HoldCondition,
  HoldPointsEvent,
  LinkChange,
  OffsetEvent,
  SessionNs,
  TargetPoint,
  VacuumEvent,
} from '../../../protocol/index.ts';

/** A hold point of the crew's as it was last set. */
export interface Tick {
  /** Under a corrected rig file the same id may stand for another thing. */
  readonly name: string;
  readonly done: boolean;
  readonly atNs: SessionNs;
  readonly who: string;
  readonly detail: string;
}

/** The newest of each thing that a condition is judged by; as many as the rig has boards and channels. */
export interface Facts {
  readonly fill: FillEvent | undefined;
  readonly vacuum: VacuumEvent | undefined;
  readonly healths: Readonly<Record<string, Health>>;
  readonly links: Readonly<Record<string, LinkChange>>;
  /** Bit n is input n. */
  readonly inputs: Readonly<Record<string, number>>;
  /** Newest sample of each channel of the air. */
  readonly airAtNs: Readonly<Record<string, SessionNs>>;
}

export interface ConditionState {
  readonly done: boolean;
  readonly sinceNs: SessionNs;
  readonly detail: string;
  /** Since when it has held without a break, while it is not done. */
  readonly holdsSinceNs: SessionNs | undefined;
}

export interface Aim {
  readonly atNs: SessionNs;
  readonly at: TargetPoint;
}

export interface FiredShot {
  readonly id: string;
  readonly firedAtNs: SessionNs;
  readonly dropM: number | undefined;
  readonly excluded: boolean;
}

export interface Struck {
  readonly shotId: string;
  readonly at: TargetPoint;
}

/** A camera has a track of a shot. */
export interface TrackTold {
  readonly shotId: string;
  readonly camera: string;
  readonly withdrawn: boolean;
}

export interface CrewState {
  readonly facts: Facts;
  readonly ticks: Readonly<Record<string, Tick>>;
  readonly conditions: Readonly<Partial<Record<HoldCondition, ConditionState>>>;
  readonly listedAtNs: SessionNs;
  readonly judgedAtNs: SessionNs;
  readonly told: HoldPointsEvent | undefined;
  /** By channel; what is not in it is as the rig file has it. */
  readonly adjustments: Readonly<Record<string, Adjustment>>;
  /** By channel: what its last calibration on the range came to, which a zero may not stray far from. */
  readonly calibrated: Readonly<Record<string, Adjustment>>;
  /** Oldest first, at most AIMS_MAX. */
  readonly aims: readonly Aim[];
  /** In the order they came, at most SHOTS_MAX. */
  readonly shots: readonly FiredShot[];
  /** In the order they were told, at most IMPACTS_MAX. */
  readonly struck: readonly Struck[];
  /** In the order they were told, at most TRACKS_MAX. */
  readonly tracks: readonly TrackTold[];
  /** By channel, as last told. */
  readonly offsets: Readonly<Record<string, OffsetEvent>>;
  readonly offsetsAtNs: SessionNs;
}

export const AIMS_MAX = 64;
export const SHOTS_MAX = 1000;
export const IMPACTS_MAX = 200;
export const TRACKS_MAX = 1000;

export const NO_FACTS: Facts = { fill: undefined, vacuum: undefined, healths: {}, links: {}, inputs: {}, airAtNs: {} };

export const NEW_CREW: CrewState = {
  facts: NO_FACTS,
  ticks: {},
  conditions: {},
  listedAtNs: 0,
  judgedAtNs: Number.NEGATIVE_INFINITY,
  told: undefined,
  adjustments: {},
  calibrated: {},
  aims: [],
  shots: [],
  struck: [],
  tracks: [],
  offsets: {},
  offsetsAtNs: Number.NEGATIVE_INFINITY,
};

/** A channel or a hold point may be called anything, `constructor` too. */
export const own = <T>(record: Readonly<Record<string, T>>, key: string): T | undefined =>
  Object.hasOwn(record, key) ? record[key] : undefined;
