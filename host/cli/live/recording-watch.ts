/** How the journal is doing, told at once to the pages and on the terminal; on the pages also how much waits as it grows. */
import type { RecordingState, SessionNs } from '../../../protocol/index.ts';
import { JOURNAL_WAITING_BYTES_MAX, type JournalProblem } from '../../journal/index.ts';

export interface RecordingPorts {
  readonly nowNs: () => SessionNs;
  readonly show: (state: RecordingState) => void;
  readonly warn: (sentence: string) => void;
}

export class RecordingWatch {
  readonly #ports: RecordingPorts;
  #sinceNs: SessionNs | undefined;
  #told: JournalProblem = { message: '', unwrittenBytes: 0, recordsLost: 0 };

  constructor(ports: RecordingPorts) {
    this.#ports = ports;
  }

  /** What the system says; empty while all is well. */
  get trouble(): string {
    return this.#told.message;
  }

  /** The journal's word that something has changed. */
  take(problem: JournalProblem): void {
    const before = this.#told;
    const isFirstLost = problem.recordsLost > 0 && before.recordsLost === 0;
    if (problem.message !== before.message || isFirstLost) this.#ports.warn(recordingSentence(problem));
    this.look(problem);
  }

  /** As it is now; to be called a few times a second. */
  look(problem: JournalProblem): void {
    const before = this.#told;
    this.#told = problem;
    if (problem.message === '') this.#sinceNs = undefined;
    else this.#sinceNs ??= this.#ports.nowNs();
    const isSame =
      problem.message === before.message && problem.unwrittenBytes === before.unwrittenBytes && problem.recordsLost === before.recordsLost;
    if (!isSame) this.#ports.show(this.#state(problem));
  }

  #state({ message, unwrittenBytes, lost }: JournalProblem): RecordingState {
    return {
      problem: message,
      ...(this.#sinceNs === undefined ? {} : { sinceNs: this.#sinceNs }),
      waitingBytes: message === '' ? 0 : unwrittenBytes,
      waitingBytesMax: JOURNAL_WAITING_BYTES_MAX,
      ...(lost ? { lost: { records: lost.records, fromNs: lost.fromNs, toNs: lost.toNs, sources: lost.sources } } : {}),
    };
  }
}

function recordingSentence({ message, unwrittenBytes, lost }: JournalProblem): string {
  const seconds = (ns: number): string => (ns / 1e9).toFixed(3);
  const losses = lost
    ? `; records are lost: ${lost.records} so far, from ${seconds(lost.fromNs)} s to ${seconds(lost.toNs)} s of the session, of ${lost.sources.join(', ')}`
    : '';
  if (message === '') return `The journal is being written again${losses}.`;
  return `The journal cannot be written (${message}): ${unwrittenBytes} bytes wait in memory${losses}; edges stay on the board. Make room or mend the disk.`;
}
