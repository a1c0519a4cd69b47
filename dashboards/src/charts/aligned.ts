import type { PressureTrace } from '../../../protocol/index.ts';

export interface ToAlign {
  readonly trace: PressureTrace | undefined;
  readonly shown: (pa: number) => number;
}

/**
 * Traces of different rates on one row of times, as the plot wants them.
 * @returns times in ms since the firing, ascending, then one row of values a trace; null where it has no sample
 */
export function aligned(parts: readonly ToAlign[]): readonly (readonly (number | null)[])[] {
  const rows = new Map<number, (number | null)[]>();
  parts.forEach(({ trace, shown }, column) => {
    trace?.valuesPa.forEach((pa, index) => {
      // To the nanosecond: equal instants of two channels meet in one row.
      const timeNs = Math.round((trace.fromS + index * trace.periodS) * 1e9);
      const row = rows.get(timeNs) ?? parts.map(() => null);
      row[column] = shown(pa);
      rows.set(timeNs, row);
    });
  });
  const times = [...rows.keys()].sort((a, b) => a - b);
  return [times.map((timeNs) => timeNs / 1e6), ...parts.map((_, column) => times.map((timeNs) => rows.get(timeNs)?.[column] ?? null))];
}
