/** Where acts go and where it is asked what a channel shows: the session implements it. */
import type { ActAnswer, AdjustmentProposal, ChannelShown, OperatorAct } from '../../../protocol/index.ts';
import type { Told } from '../../pipeline/index.ts';

export interface ShownPoint {
  readonly shownSi: number;
  readonly shouldReadSi: number;
}

export interface CrewDesk {
  /** Resolves when the act is in the journal, and the journal on disk; rejects where the disk refuses. */
  take(act: OperatorAct): Promise<ActAnswer>;
  shown(channel: string): Told<ChannelShown>;
  proposeZero(channel: string, shouldReadSi: number): Told<AdjustmentProposal>;
  proposeCalibration(channel: string, points: readonly [ShownPoint, ShownPoint]): Told<AdjustmentProposal>;
}
