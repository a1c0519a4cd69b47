/** A live session's sending, and what its pages may ask of the server. Made with the session; nothing where no server is named. */
import type { SeriesState } from '../../../protocol/index.ts';
import { readFleet, type SeriesServer } from '../../series/index.ts';
import type { SeriesDesk } from '../../serve/index.ts';
import type { DataFolder } from '../data/data-folder.ts';
import { SeriesSending } from './sending.ts';

export class SessionSeries implements SeriesDesk {
  readonly #server: SeriesServer;
  readonly #warn: (sentence: string) => void;
  #sending: SeriesSending | undefined;
  /** Sentences that were said on the terminal, each once a session. */
  readonly #said = new Set<string>();

  /** @param warn  told once what is amiss, and each time that sending stops */
  constructor(server: SeriesServer, warn: (sentence: string) => void) {
    this.#server = server;
    this.#warn = warn;
  }

  begin(folder: Pick<DataFolder, 'root' | 'journals'>, sessionId: string): void {
    const { root, journals } = folder;
    this.#sending = new SeriesSending({ server: this.#server, root, journals, sessionId, onState: (state) => this.#heed(state) });
  }

  state(): SeriesState | undefined {
    return this.#sending?.state;
  }

  fleet({ days, shots }: { readonly days: number; readonly shots: number }) {
    return readFleet(this.#server, { nowUtcMs: Date.now(), days }, shots);
  }

  async close(): Promise<void> {
    await this.#sending?.close();
  }

  #heed({ problem, warnings, refusals }: SeriesState): void {
    for (const sentence of [...warnings, ...refusals.map(({ line, reason }) => `The server refused a point (${reason}): ${line}`)]) {
      // A count in it changes; the sentence is the same.
      this.#sayOnce(sentence.replace(/\d+/g, '#'), sentence);
    }
    if (problem !== '') this.#sayOnce(problem, `${problem} The journal keeps all of it, and it is sent later.`);
  }

  #sayOnce(key: string, sentence: string): void {
    if (this.#said.has(key) || this.#said.size >= SAID_MAX) return;
    this.#said.add(key);
    this.#warn(sentence);
  }
}

const SAID_MAX = 50;
