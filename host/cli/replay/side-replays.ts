/** The host's side of a replay beside its live session: one process at a time, ended with the session. */
import { type ChildProcess, fork } from 'node:child_process';
import type { SideReplay, SideReplayAnswer } from '../../../protocol/index.ts';
import type { SideReplayDesk } from '../../serve/index.ts';
import { type DataFolder, exists, isSessionId, journalPath } from '../data/data-folder.ts';
import { programBeside } from '../program-beside.ts';
import type { Listening } from '../serving/listening.ts';
import type { FromSideReplay, ToSideReplay } from './side-replay-messages.ts';

const PROGRAM = programBeside('./side-replay-process', import.meta.url);
/** A process of Node begins in a second or two; a busy machine takes longer. */
const BEGINS_WITHIN_MS = 30_000;
const ENDS_WITHIN_MS = 3_000;

export interface SideReplaysOptions {
  readonly folder: DataFolder;
  readonly listening: Listening;
  /** Of the live session; the replay is looked for a port from the next on. */
  readonly hostPort: () => number;
  /** Of the live session, whose journal is still being written. */
  readonly sessionNow: () => string | undefined;
}

export class SideReplays implements SideReplayDesk {
  readonly #options: SideReplaysOptions;
  #child: ChildProcess | undefined;
  #running: SideReplay | undefined;
  #isBusy = false;

  constructor(options: SideReplaysOptions) {
    this.#options = options;
  }

  get running(): SideReplay | undefined {
    return this.#running;
  }

  async start(sessionId: string): Promise<SideReplayAnswer> {
    const { folder, sessionNow } = this.#options;
    if (!isSessionId(sessionId) || !exists(journalPath(folder, sessionId))) return refused('there is no journal of that session here');
    if (sessionId === sessionNow()) return refused('that session is running; it can be replayed once it has ended');
    if (this.#running?.sessionId === sessionId) return { started: true, replay: this.#running };
    if (this.#isBusy) return refused('another replay is just being begun; wait a moment');
    this.#isBusy = true;
    try {
      await this.#end();
      return await this.#begin(sessionId);
    } finally {
      this.#isBusy = false;
    }
  }

  close(): Promise<void> {
    return this.#end();
  }

  async #begin(sessionId: string): Promise<SideReplayAnswer> {
    const { folder, listening, hostPort } = this.#options;
    const child = fork(PROGRAM.path, [], {
      execArgv: [...PROGRAM.execArgv],
      // What is damaged in the journal it says there.
      stdio: ['ignore', 'ignore', 'inherit', 'ipc'],
    });
    this.#child = child;
    child.once('exit', () => {
      if (this.#child !== child) return;
      this.#child = undefined;
      this.#running = undefined;
    });
    const said = this.#said(child);
    // Any that is free, where the host itself was told to take one.
    const port = listening.port === 0 ? 0 : hostPort() + 1;
    const start: ToSideReplay = { journal: journalPath(folder, sessionId), listening: { ...listening, port } };
    child.send(start, () => undefined);
    const answer = await said;
    if ('why' in answer) {
      await this.#end();
      return refused(answer.why);
    }
    this.#running = { sessionId, port: answer.port };
    return { started: true, replay: this.#running };
  }

  #said(child: ChildProcess): Promise<FromSideReplay> {
    return new Promise((resolve) => {
      const late = setTimeout(() => resolve({ why: 'the replay did not begin in time' }), BEGINS_WITHIN_MS);
      const tell = (answer: FromSideReplay): void => {
        clearTimeout(late);
        resolve(answer);
      };
      child.once('message', (message: FromSideReplay) => tell(message));
      child.once('error', (error) => tell({ why: error.message }));
      child.once('exit', () => tell({ why: 'the replay ended before it began; the host’s terminal may say why' }));
    });
  }

  async #end(): Promise<void> {
    const child = this.#child;
    this.#running = undefined;
    if (!child) return;
    const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()));
    if (child.connected) child.disconnect();
    const enough = setTimeout(() => child.kill('SIGKILL'), ENDS_WITHIN_MS);
    await ended;
    clearTimeout(enough);
  }
}

const refused = (why: string): SideReplayAnswer => ({ started: false, why });
