/** Runs the seeds that it is told of, one after the other, in a process of its own. */
import { runSeed } from './run-seed.ts';

process.on('message', ({ from, count }: { readonly from: number; readonly count: number }) => void runAll(from, count));

async function runAll(from: number, count: number): Promise<void> {
  for (let seed = from; seed < from + count; seed++) {
    const result = await runSeed(seed);
    process.send?.({ result, rssBytes: process.memoryUsage().rss });
  }
  process.disconnect?.();
}
