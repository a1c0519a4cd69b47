/** All instruments at once for a time: is every sample in the journal, and what does the host need for it? */
import { CHANNELS } from './fleet.ts';
import { FleetSession } from './fleet-session.ts';
import type { ChannelCount } from './journal-count.ts';

export interface LoadResult {
  readonly counts: readonly ChannelCount[];
  /** Taken by the instruments by the end, by channel. */
  readonly taken: Readonly<Record<string, number>>;
  readonly samplesPerS: number;
  /** Handed on twice by the pipeline. */
  readonly twice: number;
  /** Of this process, as a share of one core. */
  readonly cpuShare: number;
}

export async function underLoad({ seed, seconds }: { readonly seed: number; readonly seconds: number }): Promise<LoadResult> {
  const session = await FleetSession.open(seed);
  await session.begin();
  // What is compiled and fetched at the start is not the running cost.
  await session.hears((await session.fleet.tell('counts')).counts);
  const before = { cpu: process.cpuUsage(), ns: process.hrtime.bigint(), taken: (await session.fleet.tell('counts')).counts };
  await new Promise<void>((resolve) => setTimeout(resolve, seconds * 1000));
  const cpu = process.cpuUsage(before.cpu);
  const lastedS = Number(process.hrtime.bigint() - before.ns) / 1e9;
  const taken = (await session.fleet.tell('counts')).counts;
  await session.hears(taken);
  const { twice } = session;
  const counts = await session.close();
  const samples = CHANNELS.reduce((sum, { name }) => sum + (taken[name] ?? 0) - (before.taken[name] ?? 0), 0);
  return { counts, taken, samplesPerS: samples / lastedS, twice, cpuShare: (cpu.user + cpu.system) / 1e6 / lastedS };
}

/** Samples that were taken and are not in the journal. */
export function notReceived({ counts, taken }: Pick<LoadResult, 'counts' | 'taken'>): number {
  return counts.reduce((sum, { channel, received }) => sum + received.missing(received.first, taken[channel] ?? 0), 0);
}
