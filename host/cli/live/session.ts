/**
 * One session: records in, journal first, then the pipeline, then everyone who listens. The order is the promise: a
 * record is in the journal before anything that follows from it leaves the process.
 */
import type { HostMessage, PipelineEvent, PosternRecord } from '../../../protocol/index.ts';
import { bootIdOf, finish, INITIAL_STATE, type PipelineState, step } from '../../pipeline/index.ts';
import { type Checking, NOTHING_CHECKED, thenCheck } from '../camera/checking.ts';
import { UnrecordedLines } from './unrecorded-lines.ts';

export interface SessionPorts {
  readonly journal: {
    /** @returns false where the record could not be kept */
    append(record: PosternRecord): boolean;
    /** Resolves when all that was appended before the call, and kept, is durable; rejects where it cannot be. */
    sync(): Promise<void>;
  };
  readonly onEvents: (events: readonly PipelineEvent[]) => void;
  readonly send: (source: string, message: HostMessage) => void;
}

export class Session {
  readonly #ports: SessionPorts;
  #state: PipelineState = INITIAL_STATE;
  #checking: Checking = NOTHING_CHECKED;
  readonly #unrecorded = new UnrecordedLines();
  #newestNs = 0;
  #isFinished = false;

  constructor(ports: SessionPorts) {
    this.#ports = ports;
  }

  get state(): PipelineState {
    return this.#state;
  }

  /**
   * @returns what the pipeline said of it
   * @throws Error after `finish` (caller's bug)
   */
  take(record: PosternRecord): readonly PipelineEvent[] {
    if (this.#isFinished) throw new Error('a record after the end of the session');
    const isRecorded = this.#ports.journal.append(record);
    this.#newestNs = Math.max(this.#newestNs, record.atNs);
    const [state, events] = step(this.#state, record);
    this.#unrecorded.note(record, isRecorded, bootIdOf(state, record.source));
    if (this.#unrecorded.isResumedBy(record, isRecorded)) this.#ports.send(record.source, { kind: 'WHO' });
    return this.#tell([state, events]);
  }

  /** The session ends: a shot that is still open is closed, as of the newest record, so that a replay says the same. */
  finish(): void {
    if (this.#isFinished) return;
    this.#isFinished = true;
    this.#tell(finish(this.#state, this.#newestNs));
  }

  #tell([state, said]: readonly [PipelineState, readonly PipelineEvent[]]): readonly PipelineEvent[] {
    this.#state = state;
    if (said.length === 0) return said;
    const [checking, events] = thenCheck(this.#checking, said);
    this.#checking = checking;
    for (const event of events) {
      if (event.type !== 'request') continue;
      const { source, message } = event;
      if (!event.afterSync) this.#ports.send(source, message);
      // Where the disk refuses, nothing is acknowledged and the board keeps its edges; the journal tells of the trouble.
      else
        this.#ports.journal.sync().then(
          () => this.#ports.send(source, this.#unrecorded.askInstead(source, message) ?? message),
          () => undefined,
        );
    }
    this.#ports.onEvents(events);
    return events;
  }
}
