/** The traces of a channel of a shot, thinned to what can be seen. */
import type { PressureTrace, Shot } from '../../protocol/index.ts';

export type PressureChannel = 'reservoirPressure' | 'barrelPressure';

export interface Column {
  readonly timeS: number;
  readonly low: number;
  readonly high: number;
}

/** Across a chart; each shows the highest and the lowest sample in it. */
const COLUMNS = 300;

/** The bursts where there are any, else the slow samples. */
export function tracesOf(shot: Shot, channel: PressureChannel): readonly PressureTrace[] {
  const ofChannel = shot.traces.filter((trace) => trace.channel === channel && trace.valuesPa.length > 1);
  const burst = ofChannel.filter(({ stream }) => stream === 'burst');
  return burst.length > 0 ? burst : ofChannel;
}

/** @returns Pa; −∞ where there is no sample in the window */
export const highestPa = (traces: readonly PressureTrace[], windowMs: readonly [number, number]): number =>
  traces.flatMap((trace) => envelope(trace, windowMs)).reduce((most, { high }) => Math.max(most, high), Number.NEGATIVE_INFINITY);

/** Lowest and highest of each column; neighbours share a sample, so that no step is lost between them. @param windowMs  since the firing */
export function envelope({ fromS, periodS, valuesPa }: PressureTrace, [fromMs, toMs]: readonly [number, number]): readonly Column[] {
  const first = Math.max(0, Math.floor((fromMs / 1e3 - fromS) / periodS));
  const end = Math.min(valuesPa.length, Math.ceil((toMs / 1e3 - fromS) / periodS) + 1);
  const width = Math.max(1, Math.ceil((end - first) / COLUMNS));
  const columns: Column[] = [];
  for (let from = first; from < end; from += width) {
    let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
    for (const value of valuesPa.slice(Math.max(0, from - 1), Math.min(end, from + width))) {
      if (!Number.isFinite(value)) continue;
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
    columns.push({ timeS: fromS + (from + Math.min(width, end - from) / 2) * periodS, low, high });
  }
  return columns;
}
