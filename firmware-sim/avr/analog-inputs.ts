/**
 * What the flashable board's converter makes of the voltages at its pins. Heron's transducers give a share of the supply,
 * which the world tells in counts of sixteen bits; this converter has ten, a noise of its own and a bow in its straight line.
 * Channels that nothing is wired to are tied to ground.
 */
import type { ReadCounts } from '../boards/samplers.ts';
import { CHANNELS } from '../world/heron.ts';
import { randomStream } from '../world/random.ts';

const FULL_SCALE = 1023;
const STEPS = 1024;
const WORLD_STEPS = 0x1_0000;
/** Standard deviation of one conversion, counts, and the most that it bows off its straight line in the middle (data sheet, from memory). */
const NOISE_COUNTS = 0.3;
const BOW_COUNTS_MAX = 1;

/** The mean count at which ten bits show what sixteen show so. */
export const tenBitCount = (counts: number): number => ((counts + 0.5) / WORLD_STEPS) * STEPS - 0.5;

/** @param read  counts of sixteen bits; each channel is asked in the order of time */
export function tenBitInputs(seed: number, read: ReadCounts): ReadCounts {
  const bowCounts = randomStream(seed, 'converter').between(-BOW_COUNTS_MAX, BOW_COUNTS_MAX);
  const noise = CHANNELS.map((_, channel) => randomStream(seed, `converter/${channel}`));
  return (channel, timeS, stream) => {
    const random = noise[channel];
    if (!random) return 0;
    const share = (read(channel, timeS, stream) + 0.5) / WORLD_STEPS;
    const counts = share * STEPS + 4 * bowCounts * share * (1 - share) + NOISE_COUNTS * random.normal();
    return Math.min(Math.max(Math.floor(counts), 0), FULL_SCALE);
  };
}
