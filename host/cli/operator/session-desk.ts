/** The crew's way into a session: an act becomes a record, and the record takes the path of every other. */
import type {
  ActAnswer,
  AdjustmentProposal,
  ChannelShown,
  OperatorAct,
  OperatorRecord,
  PipelineEvent,
  SessionNs,
} from '../../../protocol/index.ts';
import { channelShown, type PipelineState, proposeCalibration, proposeZero, type Told } from '../../pipeline/index.ts';
import type { CrewDesk, ShownPoint } from '../../serve/index.ts';

export interface DeskSession {
  /** @returns what the pipeline said of it; undefined where the session is over */
  take(record: OperatorRecord): readonly PipelineEvent[] | undefined;
  /** Resolves when the journal is on disk. */
  sync(): Promise<void>;
  state(): PipelineState;
}

const NOT_OPEN = 'there is no session to write into at this moment; it is just beginning or ending';

/** Made before the server, and opened when there is a session behind it. */
export class SessionDesk implements CrewDesk {
  readonly #nowNs: () => SessionNs;
  #session: DeskSession | undefined;

  constructor(nowNs: () => SessionNs) {
    this.#nowNs = nowNs;
  }

  open(session: DeskSession): void {
    this.#session = session;
  }

  async take(act: OperatorAct): Promise<ActAnswer> {
    const session = this.#session;
    const events = session?.take({ kind: 'operator', source: 'operator', atNs: this.#nowNs(), value: act });
    if (!session || !events) return { accepted: false, why: NOT_OPEN };
    // Whoever is told that it is done may rely on it, a power cut included.
    await session.sync();
    const refused = events.find((event) => event.type === 'act-refused');
    return refused ? { accepted: false, why: refused.why } : { accepted: true };
  }

  shown(channel: string): Told<ChannelShown> {
    return this.#ask((state) => channelShown(state, channel, this.#nowNs()));
  }

  proposeZero(channel: string, shouldReadSi: number): Told<AdjustmentProposal> {
    return this.#ask((state) => proposeZero(state, channel, shouldReadSi, this.#nowNs()));
  }

  proposeCalibration(channel: string, points: readonly [ShownPoint, ShownPoint]): Told<AdjustmentProposal> {
    return this.#ask((state) => proposeCalibration(state, channel, points, this.#nowNs()));
  }

  #ask<T>(question: (state: PipelineState) => Told<T>): Told<T> {
    return this.#session ? question(this.#session.state()) : { ok: false, why: NOT_OPEN };
  }
}
