import type { HeldPoints } from './held-points.ts';

export interface Comparison {
  readonly sent: number;
  readonly held: number;
  readonly doubled: number;
  readonly missing: number;
  /** Held, and never sent. */
  readonly foreign: number;
  /** Held with another value. */
  readonly different: number;
  /** The first few keys of what is amiss. */
  readonly examples: readonly string[];
}

/** @param tolerance  relative; 0: to the bit */
export function compare(sent: HeldPoints, held: HeldPoints, tolerance = 0): Comparison {
  const examples: string[] = [];
  const note = (what: string, key: string): number => {
    if (examples.length < 5) examples.push(`${what}: ${key}`);
    return 1;
  };
  let [missing, foreign, different] = [0, 0, 0];
  for (const [key, value] of sent.values) {
    const there = held.values.get(key);
    if (there === undefined) missing += note('missing', key);
    else if (!isSame(value, there, tolerance)) different += note(`${value} is held as ${there}`, key);
  }
  for (const key of held.values.keys()) if (!sent.values.has(key)) foreign += note('foreign', key);
  return { sent: sent.values.size, held: held.values.size, doubled: sent.doubled + held.doubled, missing, foreign, different, examples };
}

function isSame(a: number | bigint | string, b: number | bigint | string, tolerance: number): boolean {
  if (tolerance === 0) return Object.is(a, b);
  const [x, y] = [Number(a), Number(b)];
  return x === y || Math.abs(x - y) <= tolerance * Math.max(Math.abs(x), Math.abs(y));
}
