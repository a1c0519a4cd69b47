/** What a piece of work costs, and the middle of many such figures. */

export interface Cost {
  readonly wallMs: number;
  /** What this process has had of the machine's cores; on a busy one the clock on the wall says more of the others. */
  readonly coreMs: number;
}

export async function costOf(work: () => Promise<void> | void): Promise<Cost> {
  const spent = process.cpuUsage();
  const began = performance.now();
  await work();
  const wallMs = performance.now() - began;
  const { user, system } = process.cpuUsage(spent);
  return { wallMs, coreMs: (user + system) / 1e3 };
}

export function quantile(values: readonly number[], share: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}

export const median = (values: readonly number[]): number => quantile(values, 0.5);
