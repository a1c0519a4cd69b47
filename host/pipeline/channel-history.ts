/** Recent raw samples of one channel, by its board's ticks, so that late blocks fall into their place. */
export interface SampleBlock {
  readonly stream: 'slow' | 'burst';
  readonly ticks: number;
  readonly periodTicks: number;
  readonly counts: readonly number[];
}

export interface ChannelHistory {
  /** Ascending by ticks. */
  readonly slow: readonly SampleBlock[];
  readonly burst: readonly SampleBlock[];
}

export const NO_SAMPLES: ChannelHistory = { slow: [], burst: [] };

/** 30 s at 1 kHz in blocks of 50; the oldest is let go. */
const SLOW_BLOCKS_MAX = 600;
/** Two bursts of 70 ms at 50 kHz in blocks of 100. */
const BURST_BLOCKS_MAX = 70;

export function keepBlock(history: ChannelHistory, { stream, ticks, periodTicks, counts }: SampleBlock): ChannelHistory {
  const block: SampleBlock = { stream, ticks, periodTicks, counts };
  return block.stream === 'slow'
    ? { ...history, slow: insert(history.slow, block, SLOW_BLOCKS_MAX) }
    : { ...history, burst: insert(history.burst, block, BURST_BLOCKS_MAX) };
}

function insert(blocks: readonly SampleBlock[], block: SampleBlock, blocksMax: number): readonly SampleBlock[] {
  let place = blocks.length;
  while (place > 0 && (blocks[place - 1] as SampleBlock).ticks > block.ticks) place--;
  const next = blocks.toSpliced(place, 0, block);
  return next.length > blocksMax ? next.slice(1) : next;
}

export interface SampleStatistics {
  readonly count: number;
  readonly meanCounts: number;
  /** Of the mean, from the scatter; 0 for a single sample. */
  readonly meanStandardUncertaintyCounts: number;
  readonly newestTicks: number;
}

/** Mean of the slow samples between two ticks; undefined where there is none. */
export function meanBetween(history: ChannelHistory, fromTicks: number, toTicks: number): SampleStatistics | undefined {
  const picked: number[] = [];
  let newestTicks = Number.NEGATIVE_INFINITY;
  for (const block of history.slow) {
    if (block.ticks > toTicks || block.ticks + block.periodTicks * block.counts.length <= fromTicks) continue;
    for (const [i, count] of block.counts.entries()) {
      const ticks = block.ticks + i * block.periodTicks;
      if (ticks < fromTicks || ticks > toTicks) continue;
      picked.push(count);
      newestTicks = Math.max(newestTicks, ticks);
    }
  }
  if (picked.length === 0) return undefined;
  const mean = picked.reduce((sum, c) => sum + c, 0) / picked.length;
  const variance = picked.length > 1 ? picked.reduce((sum, c) => sum + (c - mean) ** 2, 0) / (picked.length - 1) : 0;
  return { count: picked.length, meanCounts: mean, meanStandardUncertaintyCounts: Math.sqrt(variance / picked.length), newestTicks };
}

/** The newest slow sample at or before a tick. */
export function newestBefore(history: ChannelHistory, ticks: number): SampleStatistics | undefined {
  for (let i = history.slow.length - 1; i >= 0; i--) {
    const block = history.slow[i] as SampleBlock;
    const index = Math.min(block.counts.length - 1, Math.floor((ticks - block.ticks) / block.periodTicks));
    const count = index >= 0 ? block.counts[index] : undefined;
    if (count === undefined) continue;
    return { count: 1, meanCounts: count, meanStandardUncertaintyCounts: 0, newestTicks: block.ticks + index * block.periodTicks };
  }
  return undefined;
}
