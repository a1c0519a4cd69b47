/** Evenly spaced sampling by the board's own clock, handed over in blocks. */
import type { DataBlock } from '../../protocol/index.ts';
import type { SampleStream } from '../world/world.ts';
import type { BoardClock } from './board-clock.ts';

/** One raw conversion; each channel of a stream is read in the order of time. */
export type ReadCounts = (channel: number, timeS: number, stream: SampleStream) => number;

export interface SamplePlan {
  readonly channel: number;
  readonly periodTicks: number;
  readonly blockSamples: number;
}

/** 1 kHz, at 16 MHz. */
export const SLOW_PLANS: readonly SamplePlan[] = [
  { channel: 0, periodTicks: 16_000, blockSamples: 50 },
  { channel: 1, periodTicks: 16_000, blockSamples: 50 },
];

/** 20 kHz of both pressures from 10 ms before the trigger to 60 ms after it. */
export const BURST = { channels: [0, 1], periodTicks: 800, beforeTicks: 160_000, afterTicks: 960_000, blockSamples: 100 } as const;

export interface SlowSampler {
  /** Range time at which the running block's last sample is taken. */
  readyAtS(): number;
  take(): DataBlock;
}

export function createSlowSampler(plan: SamplePlan, clock: BoardClock, startTicks: number, read: ReadCounts): SlowSampler {
  let fromTicks = Math.ceil(startTicks / plan.periodTicks) * plan.periodTicks;
  const readyTicks = (): number => fromTicks + (plan.blockSamples - 1) * plan.periodTicks;
  let readyS = clock.timeOf(readyTicks());
  return {
    readyAtS: () => readyS,
    take: () => {
      const block = readBlock('slow', plan, fromTicks, clock, read);
      fromTicks += plan.blockSamples * plan.periodTicks;
      readyS = clock.timeOf(readyTicks());
      return block;
    },
  };
}

function readBlock(stream: SampleStream, plan: SamplePlan, fromTicks: number, clock: BoardClock, read: ReadCounts): DataBlock {
  const counts = Array.from({ length: plan.blockSamples }, (_, i) =>
    read(plan.channel, clock.timeOf(fromTicks + i * plan.periodTicks), stream),
  );
  return { kind: 'DATA', stream, channel: plan.channel, ticks: fromTicks, periodTicks: plan.periodTicks, counts };
}

/** What the fast ring buffer holds around a trigger. A real board samples all the time; here the past is read when it is wanted. */
export function readBurst(triggerTicks: number, clock: BoardClock, read: ReadCounts): readonly DataBlock[] {
  const { channels, periodTicks, blockSamples } = BURST;
  const fromTicks = Math.max(Math.ceil((triggerTicks - BURST.beforeTicks) / periodTicks), 0) * periodTicks;
  const blockTicks = blockSamples * periodTicks;
  const blocks = Math.ceil((triggerTicks + BURST.afterTicks - fromTicks) / blockTicks);
  return Array.from({ length: blocks }, (_, i) => fromTicks + i * blockTicks).flatMap((ticks) =>
    channels.map((channel) => readBlock('burst', { channel, periodTicks, blockSamples }, ticks, clock, read)),
  );
}
