/** The rigs of a test centre, as the server of time series that all of them write to has them. */

export interface FleetShot {
  readonly rig: string;
  readonly site: string;
  readonly session: string;
  readonly shot: string;
  /** ms since 1970. */
  readonly firedAtUtcMs: number;
  readonly muzzleVelocityMps?: number;
  /** Standard uncertainty. */
  readonly muzzleVelocityUMps?: number;
  readonly mach?: number;
  /** Latched before the firing, absolute. */
  readonly reservoirPressurePa?: number;
  /** How many flags it has. */
  readonly flags: number;
  /** The crew left it out of fits. */
  readonly isExcluded: boolean;
}

/** running: heard just now. silent: its session is open, and nothing has come for a while. ended: its session is over. */
export type FleetState = 'running' | 'silent' | 'ended';

export interface FleetRig {
  readonly rig: string;
  readonly site: string;
  readonly state: FleetState;
  /** ms since 1970. */
  readonly heardAtUtcMs: number;
  readonly linksUp: number;
  readonly linksDown: number;
  readonly alarms: number;
  readonly warnings: number;
  /** Of the span that was asked for. */
  readonly shots: number;
  readonly lastShot?: FleetShot;
}

export interface Fleet {
  /** Kind and address, and what is in it. */
  readonly server: string;
  readonly askedAtUtcMs: number;
  /** How far back was looked, days. */
  readonly days: number;
  /** By site and name. */
  readonly rigs: readonly FleetRig[];
  /** Newest first; at most as many as were asked for. */
  readonly shots: readonly FleetShot[];
  readonly shotsInAll: number;
}
