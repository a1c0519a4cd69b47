/**
 * Compiled firmwares, each by a hash of all that it was made from, so that tests, benches and the demo make one but once.
 * Several processes may use a shelf at once: a file is written under a name of its own and then renamed, so that whoever
 * reads finds a whole one or none. A shelf that cannot be used costs time and nothing else.
 */
import { createHash, randomUUID } from 'node:crypto';
import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';

/** What the compiler made. */
export interface Built {
  readonly hex: string;
  readonly flashBytes: number;
  /** Static memory, the stack apart. */
  readonly memoryBytes: number;
  /** Where its variables lie in the chip's data space, by name. */
  readonly variables: ReadonlyMap<string, number>;
}

/** Files of some 40 KB; beyond it the eldest go. */
const KEPT_MAX = 40;

/** @param parts  all that the result follows from; their borders count */
export function shelfKey(parts: readonly string[]): string {
  return createHash('sha256').update(JSON.stringify(parts)).digest('hex');
}

export class BuildShelf {
  readonly #folder: string;

  constructor(folder: string) {
    this.#folder = folder;
  }

  /** @returns undefined where it is not there, or not whole */
  take(key: string): Built | undefined {
    try {
      const { body, hash } = JSON.parse(readFileSync(this.#fileOf(key), 'utf8')) as { readonly body: string; readonly hash: string };
      if (shelfKey([body]) !== hash) return undefined;
      const { variables, ...built } = JSON.parse(body) as Omit<Built, 'variables'> & { readonly variables: [string, number][] };
      return { ...built, variables: new Map(variables) };
    } catch {
      return undefined;
    }
  }

  put(key: string, built: Built): void {
    const body = JSON.stringify({ ...built, variables: [...built.variables] });
    const spare = path.join(this.#folder, `${randomUUID()}.new`);
    try {
      mkdirSync(this.#folder, { recursive: true });
    } catch {
      // No place for it: it is made anew the next time.
      return;
    }
    try {
      writeFileSync(spare, JSON.stringify({ body, hash: shelfKey([body]) }));
      renameSync(spare, this.#fileOf(key));
      this.#makeRoom();
    } catch {
      // A folder that takes no files, or no more of them.
      rmSync(spare, { force: true });
    }
  }

  #makeRoom(): void {
    const files = readdirSync(this.#folder).map((name) => path.join(this.#folder, name));
    if (files.length <= KEPT_MAX) return;
    const byAge = files
      .map((file) => ({ file, madeMs: statSync(file, { throwIfNoEntry: false })?.mtimeMs ?? 0 }))
      .sort((a, b) => a.madeMs - b.madeMs);
    for (const { file } of byAge.slice(0, files.length - KEPT_MAX)) rmSync(file, { force: true });
  }

  #fileOf(key: string): string {
    return path.join(this.#folder, `${key}.json`);
  }
}
