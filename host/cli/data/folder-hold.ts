/**
 * One host a data folder: two would write one journal folder, one address file and one store, and the crew would act on
 * whichever of them they happened to see.
 *
 * The hold is a socket of the system's abstract namespace, named after the folder itself (its device and inode, so that
 * every path to it is the same one). The kernel gives a name to one process at a time, so of two that start at once one
 * gets it; it takes the name back when the process ends, however it ends, so nothing is left over to judge as stale;
 * and whoever finds it taken asks there who the holder is, so the answer is never an old one.
 * What it does not see is a host in another container or on another machine that shares the folder: there the store's
 * own file lock still refuses the second.
 */
import { statSync } from 'node:fs';
import { connect, createServer, type Server } from 'node:net';
import { z } from 'zod';
import { CommandError, messageOf } from '../output.ts';
import type { DataFolder } from './data-folder.ts';

/** Of a socket address on Linux, unix(7). */
const NAME_BYTES = 108;
const TRIES_MAX = 5;
const ANSWER_MS_MAX = 2_000;
const ANSWER_CHARACTERS_MAX = 4_096;

/** Shown in a terminal, and perhaps said by a stranger: printable and short. */
const SHORT_TEXT = z.string().regex(/^[\x20-\x7e]{1,200}$/);
const HOLDER = z.object({
  pid: z.int().positive(),
  since: SHORT_TEXT,
  session: z.object({ sessionId: SHORT_TEXT, url: SHORT_TEXT }).optional(),
});
type Holder = z.output<typeof HOLDER>;

export class FolderHold {
  /** What another process is told besides this one's number. */
  session: { readonly sessionId: string; readonly url: string } | undefined;
  readonly #since = new Date().toISOString();
  #server: Server | undefined;

  /** @throws CommandError (rejects) where another process holds the folder, saying who */
  static async take(folder: DataFolder): Promise<FolderHold> {
    const hold = new FolderHold();
    // Elsewhere there is no such namespace, and the store's lock is all there is.
    if (process.platform !== 'linux') return hold;
    const name = holdName(folder);
    for (let tried = 1; ; tried += 1) {
      try {
        await hold.#listen(name);
        return hold;
      } catch (error) {
        if ((error as NodeJS.ErrnoException).code !== 'EADDRINUSE') {
          throw new CommandError(`The data folder ${folder.root} cannot be held: ${messageOf(error)}`, 1, { cause: error });
        }
      }
      const holder = await holderOf(name);
      // It ended between the two questions.
      if (holder === 'gone' && tried < TRIES_MAX) continue;
      throw new CommandError(heldSentence(folder, holder));
    }
  }

  async release(): Promise<void> {
    const server = this.#server;
    this.#server = undefined;
    if (server) await new Promise<void>((resolve) => server.close(() => resolve()));
  }

  async #listen(name: string): Promise<void> {
    const server = createServer((socket) => {
      socket.on('error', () => undefined);
      const holder: Holder = {
        pid: process.pid,
        since: this.#since,
        ...(this.session ? { session: { sessionId: this.session.sessionId, url: this.session.url } } : {}),
      };
      // Whoever asked and does not hang up must not keep this host from ending.
      socket.end(JSON.stringify(holder), () => socket.destroy());
    });
    server.maxConnections = 8;
    await new Promise<void>((resolve, reject) => {
      server.once('error', reject);
      server.listen(name, resolve);
    });
    server.on('error', () => undefined);
    this.#server = server.unref();
  }
}

/** Filled up to the longest name that there is: some versions of Node fill a shorter one up, some do not. */
export function holdName({ root }: DataFolder): string {
  const { dev, ino } = statSync(root, { bigint: true });
  return `\0postern-data-folder/${dev}.${ino}/`.padEnd(NAME_BYTES, '-');
}

/** @returns undefined where it does not say who it is */
async function holderOf(name: string): Promise<Holder | 'gone' | undefined> {
  const answer = await new Promise<string | 'gone'>((resolve) => {
    let text = '';
    const socket = connect(name).setEncoding('utf8').setTimeout(ANSWER_MS_MAX);
    const done = (said: string): void => {
      socket.destroy();
      resolve(said);
    };
    socket.on('data', (piece: string) => {
      text += piece;
      if (text.length > ANSWER_CHARACTERS_MAX) done('');
    });
    socket.on('end', () => done(text));
    socket.on('timeout', () => done(''));
    socket.on('error', (error: NodeJS.ErrnoException) => done(error.code === 'ECONNREFUSED' ? 'gone' : ''));
  });
  if (answer === 'gone') return answer;
  try {
    return HOLDER.parse(JSON.parse(answer));
  } catch {
    return undefined;
  }
}

function heldSentence(folder: DataFolder, holder: Holder | 'gone' | undefined): string {
  const what = 'watch that one, end it, or give this one a folder of its own with --data';
  if (holder === undefined || holder === 'gone') {
    return `The data folder ${folder.root} is in use by a process that does not say who it is; ${what}.`;
  }
  const { pid, since, session } = holder;
  const doing = session ? `session ${session.sessionId} at ${session.url}` : 'its session is just beginning or ending';
  return `The data folder ${folder.root} is in use by process ${pid} since ${since} (${doing}): ${what}.`;
}
