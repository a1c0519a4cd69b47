/** The host's side of the sender's process: begun with the session, begun again where it fails, ended with it. */
import { type ChildProcess, fork } from 'node:child_process';
import type { SeriesState } from '../../../protocol/index.ts';
import { placeText, type SeriesServer } from '../../series/index.ts';
import { programBeside } from '../program-beside.ts';
import type { FromSender, ToSender } from './sending-messages.ts';

export interface SendingOptions {
  readonly server: SeriesServer;
  readonly root: string;
  readonly journals: string;
  readonly sessionId: string;
  readonly onState: (state: SeriesState) => void;
}

/** What is left of a session is sent so long after its end; the rest comes with the next one. */
const LAST_WORDS_MS = 3_000;
const AGAIN_MS = { first: 1_000, longest: 60_000 };
const STDERR_KEPT = 500;

const PROGRAM = programBeside('./sending-process', import.meta.url);

export class SeriesSending {
  readonly #options: SendingOptions;
  #child: ChildProcess | undefined;
  #state: SeriesState;
  #again: NodeJS.Timeout | undefined;
  #failures = 0;
  #isClosing = false;

  constructor(options: SendingOptions) {
    this.#options = options;
    this.#state = {
      server: placeText(options.server),
      state: 'off',
      problem: '',
      warnings: [],
      pointsSent: 0,
      pointsRefused: 0,
      samplesThinned: 0,
      refusals: [],
      behindS: 0,
      sessionsWaiting: 0,
    };
    this.#start();
  }

  get state(): SeriesState {
    return this.#state;
  }

  #start(): void {
    const { server, root, journals, sessionId } = this.#options;
    const child = fork(PROGRAM.path, [], {
      execArgv: [...PROGRAM.execArgv],
      stdio: ['ignore', 'ignore', 'pipe', 'ipc'],
    });
    this.#child = child;
    let said = '';
    child.stderr?.setEncoding('utf8').on('data', (text: string) => {
      said = `${said}${text}`.slice(-STDERR_KEPT);
    });
    child.on('message', ({ state }: FromSender) => {
      this.#failures = 0;
      this.#tell(state);
    });
    child.on('error', (error) => {
      said = error.message;
    });
    child.once('exit', (code, signal) => {
      if (this.#child === child) this.#child = undefined;
      if (!this.#isClosing) this.#failed(said.trim() || `it ended with ${signal ?? `exit code ${code}`}`);
    });
    const start: ToSender = { what: 'start', server, root, journals, sessionId };
    child.send(start, () => undefined);
  }

  #failed(why: string): void {
    const again = Math.min(AGAIN_MS.longest, AGAIN_MS.first * 2 ** Math.min(10, this.#failures));
    this.#failures += 1;
    this.#again = setTimeout(() => this.#start(), again);
    this.#tell({ ...this.#state, state: 'off', problem: `The sender failed and is started again: ${why.replace(/\s+/g, ' ')}.` });
  }

  #tell(state: SeriesState): void {
    this.#state = state;
    this.#options.onState(state);
  }

  /** To be called once the journal is closed: the rest of it is sent, for a moment, and the process ends. */
  async close(): Promise<void> {
    this.#isClosing = true;
    clearTimeout(this.#again);
    const child = this.#child;
    if (!child) return;
    const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()));
    const over: ToSender = { what: 'over' };
    if (child.connected) child.send(over, () => undefined);
    const hurry = setTimeout(() => {
      if (child.connected) child.disconnect();
    }, LAST_WORDS_MS);
    const enough = setTimeout(() => child.kill('SIGKILL'), 2 * LAST_WORDS_MS);
    await ended;
    clearTimeout(hurry);
    clearTimeout(enough);
  }
}
