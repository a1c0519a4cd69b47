/** What the fold carries from record to record. Never changed in place, so any step's state can be kept and gone back to. */

import type { ChannelRole, SessionNs, WireFault, WireFaultCode } from '../../protocol/index.ts';
import type { ClockFit, ClockHistory } from '../metrology/index.ts';
import type { Rig } from '../rig/index.ts';
import type { ChannelHistory } from './channel-history.ts';
import type { SequenceState } from './sequence.ts';

export interface BoardState {
  readonly name: string;
  readonly sequence: SequenceState;
  /** Of its HELLO. */
  readonly boardId: string;
  readonly clockHistory: ClockHistory;
  readonly clock: ClockFit | undefined;
  readonly openedAtNs: SessionNs;
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
  readonly input: number;
  readonly active: boolean;
  readonly ticks: number;
  readonly arrivedAtNs: SessionNs;
}

export interface OpenShot {
  readonly number: number;
  readonly firedBy: 'trigger' | 'first edge' | 'blow-down';
  readonly board: string;
  readonly firedTicks: number;
  readonly openedAtNs: SessionNs;
  readonly edges: readonly BoardEdge[];
  /** When something that belongs to it last arrived. */
  readonly touchedAtNs: SessionNs;
  readonly measured: boolean;
  /** The board had lost this many edges when it opened. */
  readonly edgesLostBefore: number;
}

export interface ShotsState {
  readonly open: OpenShot | undefined;
  readonly closedCount: number;
  /** Edges that came since the last shot and opened none: a hand in a beam, or a board whose clock is not fitted yet. */
  readonly waiting: readonly BoardEdge[];
  /** Firing time of the last shot, to tell its after-effects from the next one. */
  readonly lastFired: { readonly board: string; readonly ticks: number } | undefined;
}

export interface PipelineState {
  readonly sessionId: string;
  readonly softwareVersion: string;
  readonly rig: Rig | undefined;
  /** The newest anchor, and the first: session times before any use the first. */
  readonly utc: { readonly atNs: SessionNs; readonly utcUs: number } | undefined;
  readonly boards: Readonly<Record<string, BoardState>>;
  readonly channels: Readonly<Partial<Record<ChannelRole, ChannelHistory>>>;
  readonly shots: ShotsState;
}

export const INITIAL_STATE: PipelineState = {
  sessionId: '',
  softwareVersion: '',
  rig: undefined,
  utc: undefined,
  boards: {},
  channels: {},
  shots: { open: undefined, closedCount: 0, waiting: [], lastFired: undefined },
};
