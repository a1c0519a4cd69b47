/**
 * The recent samples of every channel, packed: half a minute of them is nearly all that a state weighs, and as lists of
 * numbers it would fill the heap where a long session keeps thousands of states.
 */
import { deflateRawSync, inflateRawSync } from 'node:zlib';
import type { PipelineState } from '../../pipeline/index.ts';

type Channels = PipelineState['channels'];
type History = NonNullable<Channels[string]>;
type Block = History['slow'][number];

/** Of one stream of one channel: how many blocks and counts there are, and how the counts are written. */
interface Layout {
  readonly blocks: number;
  readonly counts: number;
  readonly isSmall: boolean;
}

export interface PackedChannels {
  readonly channels: readonly (readonly [name: string, slow: Layout, burst: Layout])[];
  /** Ticks, periods, lengths and counts of each in turn. */
  readonly deflated: Buffer;
}

/** The fastest that zlib has: more than half of the bytes go for some milliseconds. */
const LEVEL = 1;

export function packChannels(channels: Channels): PackedChannels {
  const parts: Uint8Array[] = [];
  const packed = Object.entries(channels).flatMap(([name, history]) =>
    history ? [[name, packBlocks(history.slow, parts), packBlocks(history.burst, parts)] as const] : [],
  );
  return { channels: packed, deflated: deflateRawSync(Buffer.concat(parts), { level: LEVEL }) };
}

export function unpackChannels({ channels, deflated }: PackedChannels): Channels {
  const bytes = new Parts(inflateRawSync(deflated));
  return Object.fromEntries(
    channels.map(([name, slow, burst]) => [name, { slow: unpackBlocks(slow, 'slow', bytes), burst: unpackBlocks(burst, 'burst', bytes) }]),
  );
}

function packBlocks(blocks: readonly Block[], parts: Uint8Array[]): Layout {
  const counts = blocks.reduce((sum, block) => sum + block.counts.length, 0);
  const isSmall = blocks.every((block) => block.counts.every(isSmallCount));
  const all = isSmall ? new Uint16Array(counts) : new Float64Array(counts);
  let at = 0;
  for (const block of blocks) {
    all.set(block.counts, at);
    at += block.counts.length;
  }
  const ticks = Float64Array.from(blocks, (block) => block.ticks);
  const periods = Float64Array.from(blocks, (block) => block.periodTicks);
  const lengths = Uint32Array.from(blocks, (block) => block.counts.length);
  for (const { buffer, byteOffset, byteLength } of [ticks, periods, lengths, all])
    parts.push(new Uint8Array(buffer, byteOffset, byteLength));
  return { blocks: blocks.length, counts, isSmall };
}

/** An instrument may print −0, which must not come back as 0. */
const isSmallCount = (count: number): boolean => count >= 0 && count <= 0xffff && Number.isInteger(count) && !Object.is(count, -0);

function unpackBlocks({ blocks, counts, isSmall }: Layout, stream: Block['stream'], parts: Parts): readonly Block[] {
  const ticks = new Float64Array(parts.next(8 * blocks));
  const periods = new Float64Array(parts.next(8 * blocks));
  const lengths = new Uint32Array(parts.next(4 * blocks));
  const all = Array.from(isSmall ? new Uint16Array(parts.next(2 * counts)) : new Float64Array(parts.next(8 * counts)));
  let at = 0;
  return Array.from(lengths, (length, index) => {
    const from = at;
    at += length;
    return { stream, ticks: ticks[index] as number, periodTicks: periods[index] as number, counts: all.slice(from, at) };
  });
}

class Parts {
  readonly #bytes: Buffer;
  #at = 0;

  constructor(bytes: Buffer) {
    this.#bytes = bytes;
  }

  /** A copy, aligned for whatever is read from it. */
  next(length: number): ArrayBuffer {
    const from = this.#at;
    this.#at += length;
    return new Uint8Array(this.#bytes.subarray(from, this.#at)).buffer;
  }
}
