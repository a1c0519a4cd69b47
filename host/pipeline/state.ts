/** What the fold carries from record to record. Never changed in place, so any step's state can be kept and gone back to. */

import type { SessionNs, ShotMass, WireFault, WireFaultCode } from '../../protocol/index.ts';
import type { ClockFit, ClockHistory } from '../metrology/index.ts';
import type { Rig } from '../rig/index.ts';
import type { ChannelHistory } from './channel-history.ts';
import { type CrewState, NEW_CREW } from './crew/state.ts';
import type { LatchedState } from './latched-state.ts';
import type { PackedTrace } from './packed-traces.ts';
import type { SequenceState } from './sequence.ts';
import type { TextCounters } from './text-counters.ts';
import { NEW_WATCHES, type WatchSetup, type WatchState } from './watches/index.ts';

export interface BoardState {
  readonly name: string;
  readonly sequence: SequenceState;
  /** Of its HELLO. */
  readonly boardId: string;
  readonly clockHistory: ClockHistory;
  readonly clock: ClockFit | undefined;
  readonly openedAtNs: SessionNs;
  /** The port is open, as far as its link knows. */
  readonly isLinked: boolean;
  readonly heardAtNs: SessionNs;
  readonly linesReceived: number;
  readonly faults: Readonly<Partial<Record<WireFaultCode, number>>>;
  readonly lastFault: WireFault | undefined;
  readonly edgesCaptured: number;
  readonly edgesLost: number;
  readonly edgesHeld: number;
  readonly hostLinesBad: number;
  readonly inputsActive: number;
  /** Counters have changed since they were last told. */
  readonly wireUntold: boolean;
  readonly wireToldAtNs: SessionNs;
}

/** An edge with the board's own time; host time follows from the clock fit of the moment. */
export interface BoardEdge {
  readonly board: string;
  /** Of the board's start that the ticks count from. */
  readonly bootId: number;
  /** Of its frame. */
  readonly seq: number;
  readonly input: number;
  readonly active: boolean;
  readonly ticks: number;
  /** By capture hardware; otherwise by the board's program. */
  readonly hardwareTimed: boolean;
  readonly arrivedAtNs: SessionNs;
}

/** The moment that a shot is timed from. */
export interface Firing {
  readonly by: 'trigger' | 'first edge' | 'blow-down';
  readonly board: string;
  readonly bootId: number;
  readonly ticks: number;
}

export interface ShotRecord {
  readonly number: number;
  readonly firing: Firing;
  readonly edges: readonly BoardEdge[];
  readonly openedAtNs: SessionNs;
  /** The anchor of its UTC label, as it was then: a step of the computer's clock does not move a shot that was told. */
  readonly utc: PipelineState['utc'];
  /** When something that belongs to it last arrived. */
  readonly touchedAtNs: SessionNs;
  /** An edge that comes later still opens it again, under its number. */
  readonly isOpen: boolean;
  /** Closed before it was complete: by the session's end, another rig file, or a restart of its board. */
  readonly isCutShort: boolean;
  readonly measured: boolean;
  /** The boards had lost this many edges when it opened. */
  readonly edgesLostBefore: number;
  /** The crew weighed its projectile. */
  readonly weighed?: Omit<ShotMass, 'insteadOf'>;
  /** Pressures, air and traces as they were when it was first closed: by a later opening the samples may be gone. */
  readonly kept: KeptSurroundings | undefined;
}

/** A closed shot with all that it is described by, so that it can be reduced anew long after. */
export interface PastShot {
  readonly record: ShotRecord & { readonly kept: KeptSurroundings };
  /** Under which it was fired. */
  readonly rig: Rig;
  /** Their clocks as they were when it was closed. */
  readonly boards: Readonly<Record<string, BoardState>>;
}

export interface KeptSurroundings {
  readonly latched: LatchedState;
  readonly traces: readonly PackedTrace[];
}

export interface ShotsState {
  /** The last few, oldest first. */
  readonly records: readonly ShotRecord[];
  readonly count: number;
  /** Closed ones, oldest first, at most PAST_MAX. */
  readonly past: readonly PastShot[];
  /** Edges that belong to no shot yet, in the order of arrival. */
  readonly waiting: readonly BoardEdge[];
}

export interface PipelineState {
  readonly sessionId: string;
  readonly softwareVersion: string;
  readonly rig: Rig | undefined;
  /** The newest anchor. */
  readonly utc: { readonly atNs: SessionNs; readonly utcUs: number } | undefined;
  readonly boards: Readonly<Record<string, BoardState>>;
  readonly channels: Readonly<Partial<Record<string, ChannelHistory>>>;
  readonly shots: ShotsState;
  /** Of text instruments. */
  readonly texts: Readonly<Record<string, TextCounters>>;
  readonly watches: WatchState;
  readonly watchSetup: WatchSetup | undefined;
  readonly crew: CrewState;
}

export const INITIAL_STATE: PipelineState = {
  sessionId: '',
  softwareVersion: '',
  rig: undefined,
  utc: undefined,
  boards: {},
  channels: {},
  shots: { records: [], count: 0, past: [], waiting: [] },
  texts: {},
  watches: NEW_WATCHES,
  watchSetup: undefined,
  crew: NEW_CREW,
};
