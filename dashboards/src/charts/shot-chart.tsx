/** Reservoir and barrel pressure around the firing, with the firing and the gate passages marked. */
import type uPlot from 'uplot';
import { DISPLAY } from '../../../host/units/index.ts';
import type { PressureTrace, Shot } from '../../../protocol/index.ts';
import { isDark, units } from '../state/preferences.ts';
import { aligned } from './aligned.ts';
import { plainAxis, roomyRange } from './axes.ts';
import { readPalette } from './palette.ts';
import { shotWindowMs } from './shot-window.ts';
import { drawMarks } from './upright-mark.ts';
import { type PlotMake, usePlot } from './use-plot.ts';

export function ShotChart({ shot, heightPx }: { readonly shot: Shot; readonly heightPx: number }) {
  const system = units.value;
  const reservoir = traceOf(shot, 'reservoirPressure');
  const barrel = traceOf(shot, 'barrelPressure');
  const pressure = DISPLAY.pressure[system];
  const vacuum = DISPLAY.vacuum[system];
  const make = (): PlotMake => {
    const palette = readPalette();
    return {
      data: aligned([
        { trace: reservoir, shown: pressure.fromSi },
        { trace: barrel, shown: vacuum.fromSi },
      ]) as uPlot.AlignedData,
      options: {
        legend: { show: false },
        cursor: { show: false },
        padding: [18, 0, 0, 0],
        scales: {
          x: { time: false, range: () => [...shotWindowMs(shot)] as uPlot.Range.MinMax },
          reservoir: { range: roomyRange(0) },
          barrel: { range: roomyRange(0) },
        },
        axes: [
          plainAxis(palette, { space: 60, size: 30, label: 'ms since the firing', labelSize: 20 }),
          plainAxis(palette, { scale: 'reservoir', stroke: palette.reservoir, size: 52 }),
          plainAxis(palette, { scale: 'barrel', side: 1, stroke: palette.barrel, size: 52, grid: { show: false } }),
        ],
        series: [
          {},
          { scale: 'reservoir', stroke: palette.reservoir, width: 2, points: { show: false }, spanGaps: true },
          { scale: 'barrel', stroke: palette.barrel, width: 2, dash: [7, 4], points: { show: false }, spanGaps: true },
        ],
        hooks: {
          draw: [
            (plot) =>
              drawMarks(plot, [
                { at: 0, label: 'fired', colour: palette.mark, dash: [] },
                ...shot.passages.map(({ gate, timeS }) => ({ at: timeS * 1000, label: gate, colour: palette.quiet, dash: [3, 3] })),
              ]),
          ],
        },
      },
    };
  };
  const { element } = usePlot(heightPx, make, [shot, system, isDark.value]);
  return (
    <figure class="trace">
      <figcaption>
        <span class="key key-reservoir">Reservoir {pressure.symbol}, left, solid</span>
        <span class="key key-barrel">Barrel {vacuum.symbol}, right, dashed</span>
        <span class="unit">absolute</span>
      </figcaption>
      <div ref={element} class="plot" role="img" aria-label={`Reservoir and barrel pressure around the firing of shot ${shot.number}`} />
    </figure>
  );
}

/** The burst where there is one, else the slow samples. */
function traceOf(shot: Shot, channel: string): PressureTrace | undefined {
  const ofChannel = shot.traces.filter((trace) => trace.channel === channel && trace.valuesPa.length > 0);
  return ofChannel.find((trace) => trace.stream === 'burst') ?? ofChannel[0];
}
