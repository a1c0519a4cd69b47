/** Places that a starter rig file leaves to the user, each with a word on what belongs there. */
import type { Path } from './source.ts';

/** What such a value begins with. */
export const BLANK = 'FILL IN';

export interface Blank {
  readonly path: Path;
  readonly message: string;
}

/** @param data  a rig file as data, of bounded size; in the order of the file */
export function blanksIn(data: unknown, path: Path = []): readonly Blank[] {
  if (typeof data === 'string') {
    return data.startsWith(BLANK) ? [{ path, message: `still to be filled in${data.slice(BLANK.length)}` }] : [];
  }
  if (Array.isArray(data)) return data.flatMap((each, i) => blanksIn(each, [...path, i]));
  if (typeof data !== 'object' || data === null) return [];
  return Object.entries(data).flatMap(([key, value]) => blanksIn(value, [...path, key]));
}
