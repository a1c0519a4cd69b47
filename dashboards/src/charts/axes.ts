/** How all our axes look. */
import type uPlot from 'uplot';
import { CHART_FONT, type Palette } from './palette.ts';

export function plainAxis(palette: Palette, axis: uPlot.Axis): uPlot.Axis {
  return {
    stroke: palette.ink,
    font: CHART_FONT,
    labelFont: CHART_FONT,
    grid: { stroke: palette.grid, width: 1 },
    ticks: { stroke: palette.grid, width: 1, size: 4 },
    gap: 4,
    ...axis,
  };
}

/** Of the value itself: a trace that does not move at all still gets a scale, on which the plot's search for ticks ends. */
const LEAST_SPAN_SHARE = 1e-3;
const LEAST_SPAN = 1e-6;

/** The data's range with room above and below, and never narrower than `leastSpan`. */
export function roomyRange(leastSpan: number) {
  return (_plot: unknown, low: number | null, high: number | null): uPlot.Range.MinMax => {
    if (low === null || high === null) return [0, leastSpan > 0 ? leastSpan : 1];
    const least = Math.max(leastSpan, LEAST_SPAN_SHARE * Math.abs(high), LEAST_SPAN);
    const spare = Math.max((high - low) * 0.08, (least - (high - low)) / 2);
    return [low >= 0 ? Math.max(0, low - spare) : low - spare, high + spare];
  };
}
