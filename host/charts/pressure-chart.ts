/** A channel's pressure around a firing: a burst where there is one, thinned to what can be seen. */
import type { PressureTrace, Shot } from '../../protocol/index.ts';
import type { Chart } from './chart.ts';

/** Across a chart; each shows the highest and the lowest sample in it. */
const COLUMNS = 300;
/** Below this a pressure is shown in kPa. */
const SMALL_PA = 4e5;

/** @returns undefined where the shot has no trace of that channel */
export function pressureChart(shot: Shot, channel: 'reservoirPressure' | 'barrelPressure'): Chart | undefined {
  const ofChannel = shot.traces.filter((trace) => trace.channel === channel && trace.valuesPa.length > 1);
  const burst = ofChannel.filter(({ stream }) => stream === 'burst');
  const traces = burst.length > 0 ? burst : ofChannel;
  const [first] = traces;
  if (!first) return undefined;
  const highest = traces.reduce((most, { valuesPa }) => valuesPa.reduce((a, b) => Math.max(a, b), most), Number.NEGATIVE_INFINITY);
  const [unit, perPa] = highest < SMALL_PA ? (['kPa', 1e-3] as const) : (['MPa', 1e-6] as const);
  const title = channel === 'reservoirPressure' ? 'Reservoir' : 'Barrel';
  return {
    title: `Shot ${shot.number}: ${title.toLowerCase()} pressure`,
    description: `${title} pressure, absolute, from ${(1e3 * first.fromS).toFixed(0)} ms on around the firing.`,
    x: { label: 'Since the firing', unit: 'ms' },
    y: { label: `${title}, absolute`, unit },
    layers: [
      ...traces.map((trace) => ({
        kind: 'band' as const,
        look: 0,
        points: envelope(trace).map(({ timeS, low, high }) => ({ x: 1e3 * timeS, low: perPa * low, high: perPa * high })),
      })),
      { kind: 'rule', name: 'firing', look: 4, axis: 'x', at: 0 },
      ...(shot.blowDown
        ? [{ kind: 'rule' as const, name: 'valve opened', look: 1, axis: 'x' as const, at: 1e3 * shot.blowDown.openedAtS.value }]
        : []),
    ],
  };
}

/** Lowest and highest of each column; neighbours share a sample, so that no step is lost between them. */
function envelope({
  fromS,
  periodS,
  valuesPa,
}: PressureTrace): readonly { readonly timeS: number; readonly low: number; readonly high: number }[] {
  const width = Math.max(1, Math.ceil(valuesPa.length / COLUMNS));
  const columns: { timeS: number; low: number; high: number }[] = [];
  for (let from = 0; from < valuesPa.length; from += width) {
    let [low, high] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
    for (const value of valuesPa.slice(Math.max(0, from - 1), from + width)) {
      if (!Number.isFinite(value)) continue;
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
    columns.push({ timeS: fromS + (from + Math.min(width, valuesPa.length - from) / 2) * periodS, low, high });
  }
  return columns;
}
