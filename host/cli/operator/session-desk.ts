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

/** Knows the shots of earlier sessions: the store. */
export interface ShotBook {
  shot(id: string): Promise<{ readonly sessionId: string } | undefined>;
}

const NOT_OPEN = 'there is no session to write into at this moment; it is just beginning or ending';

/** Made before the server, and opened when there is a session behind it. */
export class SessionDesk implements CrewDesk {
  readonly #nowNs: () => SessionNs;
  readonly #book: ShotBook | undefined;
  #session: DeskSession | undefined;

  /** @param book  left out, shots of earlier sessions are not known */
  constructor(nowNs: () => SessionNs, book?: ShotBook) {
    this.#nowNs = nowNs;
    this.#book = book;
  }

  open(session: DeskSession): void {
    this.#session = session;
  }

  async take(act: OperatorAct): Promise<ActAnswer> {
    const session = this.#session;
    const earlier = 'sessionId' in act && act.sessionId !== session?.state().sessionId ? act : undefined;
    // The pipeline cannot know: it has only this session's records.
    if (earlier && !(await this.#isThere(earlier))) {
      const why = `there is no shot ${earlier.shotId ?? ''} of session ${earlier.sessionId ?? ''} in this data folder; postern shots lists them`;
      return { accepted: false, why };
    }
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

  async #isThere({ shotId, sessionId }: { readonly shotId?: string; readonly sessionId?: string }): Promise<boolean> {
    const shot = shotId === undefined ? undefined : await this.#book?.shot(shotId);
    return shot !== undefined && shot.sessionId === sessionId;
  }

  #ask<T>(question: (state: PipelineState) => Told<T>): Told<T> {
    return this.#session ? question(this.#session.state()) : { ok: false, why: NOT_OPEN };
  }
}
