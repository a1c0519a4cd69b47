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

/** The data's range with room above and below, and never narrower than `leastSpan`. */
export function roomyRange(leastSpan: number) {
  return (_plot: uPlot, low: number | null, high: number | null): uPlot.Range.MinMax => {
    if (low === null || high === null) return [0, leastSpan];
    const spare = Math.max((high - low) * 0.08, (leastSpan - (high - low)) / 2);
    return [low >= 0 ? Math.max(0, low - spare) : low - spare, high + spare];
  };
}
