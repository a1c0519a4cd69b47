/** What we depend on, from the lock file and from what lies in node_modules. */
import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));

interface LockEntry {
  readonly version?: string;
  readonly license?: string;
  readonly dev?: boolean;
  readonly optional?: boolean;
  readonly hasInstallScript?: boolean;
  /** Where it is for some systems only. */
  readonly os?: readonly string[];
  readonly dependencies?: Readonly<Record<string, string>>;
  readonly devDependencies?: Readonly<Record<string, string>>;
}

export interface Library {
  /** Such as `node_modules/ws`. */
  readonly place: string;
  readonly name: string;
  readonly version: string;
  /** As the package says it, or `LICENCES` for those that do not; undefined: nobody knows. */
  readonly licence: string | undefined;
  readonly isDirect: boolean;
  /** Nobody but a developer has it. */
  readonly isDev: boolean;
  /** One of our `devDependencies`. */
  readonly isTool: boolean;
  readonly isForSomeSystems: boolean;
  readonly hasInstallScript: boolean;
}

/** Those whose package does not say it in the field that npm reads. */
const LICENCES: Readonly<Record<string, string>> = {
  // Its package.json has the older list `licenses`, and LICENSE-MIT lies beside it.
  'temporal@0.7.1': 'MIT',
  // Its package has no licence at all; its public repository has one (from memory). johnny-five loads it for buzzers, which nothing here has.
  'nanotimer@0.3.10': 'MIT',
};

/** What a library that is installed with Postern may be under. */
export const LICENCES_SHIPPED: ReadonlySet<string> = new Set([
  'MIT',
  'ISC',
  '0BSD',
  'BSD-3-Clause',
  'Apache-2.0',
  'Apache-2.0 AND BSL-1.0',
  'BlueOak-1.0.0',
]);
/** Tools that nobody but a developer has may also be under these. */
export const LICENCES_DEV: ReadonlySet<string> = new Set([...LICENCES_SHIPPED, 'MPL-2.0', 'MIT OR Apache-2.0']);

export function libraries(): readonly Library[] {
  const { packages } = JSON.parse(readFileSync(join(ROOT, 'package-lock.json'), 'utf8')) as {
    readonly packages: Readonly<Record<string, LockEntry>>;
  };
  const root = packages[''] ?? {};
  const direct = new Set([root.dependencies, root.devDependencies].flatMap((names) => Object.keys(names ?? {})));
  const ofDevelopers = new Set(Object.keys(root.devDependencies ?? {}));
  return Object.entries(packages).flatMap(([place, { version = '', license, dev, os, hasInstallScript }]) => {
    if (place === '') return [];
    const name = place.replace(/^.*node_modules\//, '');
    const licence = license ?? LICENCES[`${name}@${version}`];
    const isDirect = direct.has(name) && place === `node_modules/${name}`;
    return {
      place,
      name,
      version,
      licence,
      isDirect,
      // One that we use as a tool may be brought by another that is installed.
      isDev: dev === true,
      isTool: isDirect && ofDevelopers.has(name),
      isForSomeSystems: os !== undefined,
      hasInstallScript: hasInstallScript === true,
    };
  });
}

/** Bytes of a library's own files, without libraries within it. */
export function bytesOf({ place }: Library): number {
  const sum = (folder: string): number =>
    readdirSync(folder, { withFileTypes: true }).reduce((bytes, entry) => {
      if (entry.name === 'node_modules' || entry.isSymbolicLink()) return bytes;
      const path = join(folder, entry.name);
      return bytes + (entry.isDirectory() ? sum(path) : statSync(path).size);
    }, 0);
  return sum(join(ROOT, place));
}
