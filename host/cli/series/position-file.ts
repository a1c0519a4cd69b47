/** How far each session has been sent to one server: a small file, made anew and synced, so that a crash leaves the old one or the new. */
import { createHash } from 'node:crypto';
import { closeSync, fsyncSync, mkdirSync, openSync, readFileSync, renameSync, rmSync, writeSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { z } from 'zod';

const SESSIONS_MAX = 100_000;

const SESSION = z.object({
  /** Records taken by the server: the number of the next one. */
  taken: z.number().int().min(0),
  /** And so long ago that its end cannot have lost them. */
  settled: z.number().int().min(0),
  /** The journal was whole when `settled` came to its end. */
  ended: z.boolean(),
});
const POSITIONS = z.object({
  version: z.literal(1),
  server: z.string(),
  /** Journals of sessions opened before that are sent only when somebody says so, ms since 1970. */
  sinceUtcMs: z.number(),
  sessions: z.record(z.string().max(100), SESSION),
});

export type SessionPosition = Readonly<z.output<typeof SESSION>>;
export type Positions = Readonly<z.output<typeof POSITIONS>>;

/** @param server  its place, as text: each has a file of its own */
export const positionPath = (root: string, server: string): string =>
  join(root, 'series', `${createHash('sha256').update(server).digest('hex').slice(0, 16)}.json`);

export class PositionFile {
  readonly #path: string;
  #positions: Positions;
  #written = '';

  /**
   * A file that is damaged counts as none: then all since now is sent.
   * @throws Error of the system where there is one that cannot be read
   */
  constructor(root: string, server: string, nowUtcMs: number) {
    this.#path = positionPath(root, server);
    this.#positions = readPositions(this.#path) ?? { version: 1, server, sinceUtcMs: nowUtcMs, sessions: {} };
  }

  get sinceUtcMs(): number {
    return this.#positions.sinceUtcMs;
  }

  of(session: string): SessionPosition {
    return Object.hasOwn(this.#positions.sessions, session) ? (this.#positions.sessions[session] ?? NOTHING) : NOTHING;
  }

  set(session: string, position: SessionPosition): void {
    const sessions = { ...this.#positions.sessions, [session]: position };
    const names = Object.keys(sessions).sort();
    // The eldest goes; its journal, should it still be there, is older than the others that are done.
    if (names.length > SESSIONS_MAX) delete sessions[names[0] as string];
    this.#positions = { ...this.#positions, sessions };
  }

  /** @throws Error of the system; nothing is lost by it but that more will be sent again */
  save(): void {
    const text = JSON.stringify(this.#positions);
    if (text === this.#written) return;
    const folder = dirname(this.#path);
    mkdirSync(folder, { recursive: true });
    const fresh = `${this.#path}.${process.pid}`;
    try {
      const fd = openSync(fresh, 'w', 0o600);
      try {
        for (let bytes = Buffer.from(text); bytes.length > 0; ) bytes = bytes.subarray(writeSync(fd, bytes));
        fsyncSync(fd);
      } finally {
        closeSync(fd);
      }
      renameSync(fresh, this.#path);
    } catch (error) {
      rmSync(fresh, { force: true });
      throw error;
    }
    const dir = openSync(folder, 'r');
    try {
      fsyncSync(dir);
    } finally {
      closeSync(dir);
    }
    this.#written = text;
  }
}

const NOTHING: SessionPosition = { taken: 0, settled: 0, ended: false };

/** @returns undefined where there is none, or it is damaged */
export function readPositions(path: string): Positions | undefined {
  let text: string;
  try {
    text = readFileSync(path, 'utf8');
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw error;
  }
  try {
    return POSITIONS.parse(JSON.parse(text));
  } catch {
    return undefined;
  }
}
