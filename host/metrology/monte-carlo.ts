/**
 * Propagation of distributions by simulation (JCGM 101:2008), to check what first-order propagation says: where the
 * model bends within its inputs' uncertainty, or one wide rectangle dominates, the two part and this one is right.
 */
import { type Distribution, samplerOf } from './distributions.ts';
import { uniformFrom } from './random.ts';

export interface MonteCarloOptions {
  /** Model evaluations, 100 to 10 million (80 MB are held for that). */
  readonly trials: number;
  /** Integer from 0 to 2³² − 1; the same seed gives the same result to the last digit. */
  readonly seed: number;
  /** Default 0.95. */
  readonly probability?: number;
}

export interface MonteCarloResult {
  readonly mean: number;
  readonly standardUncertainty: number;
  /** Lower and upper end; as much probability is left out below as above. */
  readonly symmetric: readonly [number, number];
  /** The shortest that holds the probability. */
  readonly shortest: readonly [number, number];
}

const TRIALS_MIN = 100;
const TRIALS_MAX = 10_000_000;

/**
 * @param of  the model, with as many arguments as inputs
 * @throws RangeError for trials or probability out of range, Error for a model that gives no finite number
 * Source: JCGM 101:2008, 7.2 to 7.7
 */
export function monteCarlo(
  of: (...values: number[]) => number,
  inputs: readonly Distribution[],
  { trials, seed, probability = 0.95 }: MonteCarloOptions,
): MonteCarloResult {
  if (!(Number.isInteger(trials) && trials >= TRIALS_MIN && trials <= TRIALS_MAX)) {
    throw new RangeError(`${trials} trials, expected ${TRIALS_MIN} to ${TRIALS_MAX}`);
  }
  if (!(probability > 0 && probability < 1)) throw new RangeError(`probability ${probability}, expected between 0 and 1`);
  const uniform = uniformFrom(seed);
  const samplers = inputs.map((each) => samplerOf(each, uniform));
  const drawn = samplers.map(() => 0);
  const results = new Float64Array(trials);
  for (let k = 0; k < trials; k++) {
    for (const [i, sample] of samplers.entries()) drawn[i] = sample();
    const result = of(...drawn);
    if (!Number.isFinite(result)) throw new Error(`the model gives ${result} for ${drawn.join(', ')}`);
    results[k] = result;
  }
  return { ...momentsOf(results), ...intervalsOf(results.sort(), probability) };
}

/** Source: JCGM 101:2008, 7.6, eq. (16) and (17), in two passes so that a small spread about a large value survives. */
function momentsOf(results: Float64Array): { readonly mean: number; readonly standardUncertainty: number } {
  const origin = results[0] ?? 0;
  let sum = 0;
  for (const result of results) sum += result - origin;
  const mean = origin + sum / results.length;
  let squares = 0;
  for (const result of results) squares += (result - mean) ** 2;
  return { mean, standardUncertainty: Math.sqrt(squares / (results.length - 1)) };
}

/** Source: JCGM 101:2008, 7.7.2 to 7.7.4 */
function intervalsOf(sorted: Float64Array, probability: number): Pick<MonteCarloResult, 'symmetric' | 'shortest'> {
  const held = Math.min(sorted.length - 1, Math.round(probability * sorted.length));
  const interval = (from: number): readonly [number, number] => [sorted[from] as number, sorted[from + held] as number];
  let shortest = interval(0);
  for (let from = 1; from + held < sorted.length; from++) {
    const next = interval(from);
    if (next[1] - next[0] < shortest[1] - shortest[0]) shortest = next;
  }
  return { symmetric: interval(Math.round((sorted.length - held) / 2)), shortest };
}
