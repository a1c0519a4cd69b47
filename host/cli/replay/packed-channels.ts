/**
 * The recent samples of every channel, packed: half a minute of them is nearly all that a state weighs, and as lists of
 * numbers it would fill the heap where a long session keeps hundreds of states.
 */
import type { PipelineState } from '../../pipeline/index.ts';

type Channels = PipelineState['channels'];
type History = NonNullable<Channels[string]>;
type Block = History['slow'][number];

interface PackedBlocks {
  readonly ticks: Float64Array;
  readonly periodTicks: Float64Array;
  readonly lengths: Uint32Array;
  /** Of one block after another. */
  readonly counts: Uint16Array | Float64Array;
}

export interface PackedChannels {
  readonly channels: readonly (readonly [name: string, slow: PackedBlocks, burst: PackedBlocks])[];
  readonly bytes: number;
}

export function packChannels(channels: Channels): PackedChannels {
  const packed = Object.entries(channels).flatMap(([name, history]) =>
    history ? [[name, packBlocks(history.slow), packBlocks(history.burst)] as const] : [],
  );
  const bytes = packed.reduce((sum, [, slow, burst]) => sum + bytesOf(slow) + bytesOf(burst), 0);
  return { channels: packed, bytes };
}

export const unpackChannels = ({ channels }: PackedChannels): Channels =>
  Object.fromEntries(
    channels.map(([name, slow, burst]) => [name, { slow: unpackBlocks(slow, 'slow'), burst: unpackBlocks(burst, 'burst') }]),
  );

function packBlocks(blocks: readonly Block[]): PackedBlocks {
  const total = blocks.reduce((sum, { counts }) => sum + counts.length, 0);
  const isSmall = blocks.every(({ counts }) => counts.every((count) => count >= 0 && count <= 0xffff && Number.isInteger(count)));
  const counts = isSmall && !hasMinusZero(blocks) ? new Uint16Array(total) : new Float64Array(total);
  let at = 0;
  for (const block of blocks) {
    counts.set(block.counts, at);
    at += block.counts.length;
  }
  return {
    ticks: Float64Array.from(blocks, ({ ticks }) => ticks),
    periodTicks: Float64Array.from(blocks, ({ periodTicks }) => periodTicks),
    lengths: Uint32Array.from(blocks, (block) => block.counts.length),
    counts,
  };
}

/** An instrument may print it, and it would come back as 0. */
const hasMinusZero = (blocks: readonly Block[]): boolean => blocks.some(({ counts }) => counts.some((count) => Object.is(count, -0)));

function unpackBlocks({ ticks, periodTicks, lengths, counts }: PackedBlocks, stream: Block['stream']): readonly Block[] {
  let at = 0;
  return Array.from(lengths, (length, index) => {
    const from = at;
    at += length;
    return {
      stream,
      ticks: ticks[index] as number,
      periodTicks: periodTicks[index] as number,
      counts: Array.from(counts.subarray(from, at)),
    };
  });
}

const bytesOf = ({ ticks, periodTicks, lengths, counts }: PackedBlocks): number =>
  ticks.byteLength + periodTicks.byteLength + lengths.byteLength + counts.byteLength;
