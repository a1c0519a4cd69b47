/** Feeds one target, and measures: does it fall, does it hang, does it grow? */
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import fc from 'fast-check';
import type { FuzzTarget } from './target.ts';

export interface FuzzReport {
  readonly runs: number;
  /** Of the slowest input, ms. */
  readonly slowestMs: number;
  readonly slowest: unknown;
  /** After a warming-up, and at the end, each after collecting garbage, bytes. */
  readonly heapBytes: readonly [number, number];
  /** Smallest input found that does harm. */
  readonly failure?: { readonly input: unknown; readonly error: string };
}

export interface FuzzRun {
  readonly seed: number;
  /** Inputs, or */
  readonly runs?: number;
  /** as many as there is time for, ms. */
  readonly forMs?: number;
  /** Called before each input with its number. */
  readonly onInput?: (run: number) => void;
}

const WARM_UP_RUNS = 200;

export async function runTarget({ inputs, feed }: FuzzTarget, { seed, runs, forMs, onInput }: FuzzRun): Promise<FuzzReport> {
  const collect = garbageCollector();
  let [done, slowestMs, warmBytes]: [number, number, number] = [0, 0, 0];
  let slowest: unknown;
  const property = fc.asyncProperty(inputs, async (input) => {
    onInput?.(done);
    // Some targets leave the loop no turn: whoever watches would hear nothing.
    await new Promise((resolve) => setImmediate(resolve));
    const begunMs = performance.now();
    await feed(input as never);
    const tookMs = performance.now() - begunMs;
    done += 1;
    if (tookMs > slowestMs) [slowestMs, slowest] = [tookMs, input];
    if (done === Math.min(WARM_UP_RUNS, Math.ceil((runs ?? Number.POSITIVE_INFINITY) / 2))) warmBytes = collect();
  });
  const limits = forMs === undefined ? { numRuns: runs ?? 100 } : { numRuns: 100_000_000, interruptAfterTimeLimit: forMs };
  const result = await fc.check(property, { seed, ...limits });
  const endBytes = collect();
  return {
    runs: done,
    slowestMs,
    slowest,
    heapBytes: [warmBytes || endBytes, endBytes],
    ...(result.failed && result.counterexample
      ? {
          failure: {
            input: result.counterexample[0],
            error: String(result.errorInstance instanceof Error ? result.errorInstance.stack : result.errorInstance),
          },
        }
      : {}),
  };
}

/** @returns collects, and says how much is in use then, bytes */
function garbageCollector(): () => number {
  setFlagsFromString('--expose-gc');
  const collect = runInNewContext('gc') as () => void;
  return () => {
    collect();
    return process.memoryUsage().heapUsed;
  };
}
