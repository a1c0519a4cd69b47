/** What is made of sources: made once, and kept for every test until one of them changes. */
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, renameSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const IS_BUILT = /^dashboards\/dist(\/|$)/;
const KEPT_MAX = 3;

export class KeptBuild {
  readonly #folder: string;
  readonly #sources: readonly string[];

  /**
   * @param name  of the folder below `node_modules/.cache`
   * @param sources  files and folders, from the root, that it is made of
   */
  constructor(name: string, sources: readonly string[]) {
    this.#folder = join(ROOT, 'node_modules', '.cache', name);
    this.#sources = sources;
  }

  /** @returns the folder of what was made of the sources as they are now, or where it belongs */
  folder(): { readonly path: string; readonly isMade: boolean } {
    const path = join(this.#folder, hashOf(this.#sources));
    return { path, isMade: existsSync(path) };
  }

  /** @returns a new and empty folder to make it in */
  begin(): string {
    mkdirSync(this.#folder, { recursive: true });
    return mkdtempSync(join(this.#folder, 'making-'));
  }

  /** Others may still use what was made before: only what is many sources old goes. */
  keep(made: string, path: string): void {
    try {
      renameSync(made, path);
    } catch (error) {
      // Another test has made the same.
      rmSync(made, { recursive: true, force: true });
      if (!existsSync(path)) throw error;
    }
    const newestFirst = readdirSync(this.#folder)
      .filter((name) => !name.startsWith('making-'))
      .map((name) => ({ path: join(this.#folder, name), madeMs: statSync(join(this.#folder, name)).mtimeMs }))
      .sort((a, b) => b.madeMs - a.madeMs);
    for (const old of newestFirst.slice(KEPT_MAX)) rmSync(old.path, { recursive: true, force: true });
  }
}

/** All files below, from the root, in a fixed order; not the built pages. */
export const filesBelow = (paths: readonly string[]): readonly string[] => paths.flatMap(below).sort();

function below(path: string): readonly string[] {
  if (IS_BUILT.test(path)) return [];
  if (!statSync(join(ROOT, path)).isDirectory()) return [path];
  return readdirSync(join(ROOT, path)).flatMap((name) => below(join(path, name)));
}

function hashOf(sources: readonly string[]): string {
  const hash = createHash('sha256');
  for (const path of filesBelow(sources)) {
    hash
      .update(`${path}\0`)
      .update(readFileSync(join(ROOT, path)))
      .update('\0');
  }
  return hash.digest('hex').slice(0, 24);
}
