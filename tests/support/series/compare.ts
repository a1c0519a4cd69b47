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

/**
 * What VictoriaMetrics may differ by, of a series' largest magnitude: it cuts off after twelve digits or more, under one
 * decimal exponent for many values.
 */
export const DECIMAL_MANTISSAS = 1e-11;

/** @param tolerance  of the largest magnitude that was sent of the same series; 0: to the bit */
export function compare(sent: HeldPoints, held: HeldPoints, tolerance = 0): Comparison {
  const scales = scalesOf(sent);
  const marginOf = (key: string): number | 'to the bit' => (tolerance === 0 ? 'to the bit' : tolerance * (scales.get(seriesOf(key)) ?? 0));
  const examples: string[] = [];
  const note = (what: string, key: string): number => {
    if (examples.length < 5) examples.push(`${what}: ${key}`);
    return 1;
  };
  let [missing, foreign, different] = [0, 0, 0];
  for (const [key, value] of sent.values) {
    const there = held.values.get(key);
    if (there === undefined) missing += note('missing', key);
    else if (!isSame(value, there, marginOf(key))) different += note(`${value} is held as ${there}`, key);
  }
  for (const key of held.values.keys()) if (!sent.values.has(key)) foreign += note('foreign', key);
  return { sent: sent.values.size, held: held.values.size, doubled: sent.doubled + held.doubled, missing, foreign, different, examples };
}

const seriesOf = (key: string): string => key.slice(0, key.lastIndexOf(' '));

function scalesOf({ values }: HeldPoints): Map<string, number> {
  const scales = new Map<string, number>();
  for (const [key, value] of values) {
    const magnitude = Math.abs(Number(value));
    const series = seriesOf(key);
    if (magnitude > (scales.get(series) ?? 0)) scales.set(series, magnitude);
  }
  return scales;
}

function isSame(a: number | bigint | string, b: number | bigint | string, margin: number | 'to the bit'): boolean {
  return Object.is(a, b) || (margin !== 'to the bit' && Math.abs(Number(a) - Number(b)) <= margin);
}
