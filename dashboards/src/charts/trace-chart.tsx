/** One pressure, scrolling: the range between minimum and maximum of each run of samples, to the present moment. */
import { effect } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type uPlot from 'uplot';
import { DISPLAY, type QuantityKind } from '../../../host/units/index.ts';
import type { ChannelRole } from '../../../protocol/index.ts';
import { channelNow } from '../state/channel-now.ts';
import { session, traces, traceTick } from '../state/live-state.ts';
import { sessionNowNs } from '../state/page-clock.ts';
import { isDark, units, windowS } from '../state/preferences.ts';
import { shots } from '../state/shots.ts';
import { HEALTH_WORD } from '../text/health-words.ts';
import { clockText } from '../text/time-text.ts';
import { plainAxis, roomyRange } from './axes.ts';
import { readPalette } from './palette.ts';
import { drawMarks } from './upright-mark.ts';
import { type PlotMake, usePlot } from './use-plot.ts';

export interface TraceChartProps {
  readonly channel: ChannelRole & ('reservoirPressure' | 'barrelPressure' | 'barrelVacuum');
  readonly name: string;
  readonly kind: QuantityKind;
  /** SI: a trace that hardly moves is not blown up beyond this. */
  readonly leastSpanSi: number;
  /** SI: the scale ends here, so that a firing's peak does not flatten everything else. Default: none. */
  readonly ceilingSi?: number;
  readonly heightPx: number;
}

const EMPTY: uPlot.AlignedData = [[], [], []];

export function TraceChart({ channel, name, kind, leastSpanSi, ceilingSi = Number.POSITIVE_INFINITY, heightPx }: TraceChartProps) {
  const system = units.value;
  const display = DISPLAY[kind][system];
  const { health } = channelNow(channel);
  const make = (): PlotMake => {
    const palette = readPalette();
    const colour = channel === 'reservoirPressure' ? palette.reservoir : palette.barrel;
    const fill = channel === 'reservoirPressure' ? palette.reservoirFill : palette.barrelFill;
    const line: uPlot.Series = { stroke: colour, width: 2, points: { show: false } };
    return {
      data: dataOf(channel, display.fromSi, windowS.peek()),
      options: {
        legend: { show: false },
        cursor: { show: false },
        padding: [18, 34, 0, 0],
        scales: {
          x: { time: false, range: () => xRange() },
          y: { range: belowCeiling(roomyRange(display.differenceFromSi(leastSpanSi)), display.fromSi(ceilingSi)) },
        },
        axes: [
          plainAxis(palette, {
            space: 76,
            size: 30,
            incrs: [5, 10, 15, 30, 60, 120, 300, 600],
            values: (_plot, ticks) => ticks.map((s) => clockText(s * 1000)),
          }),
          plainAxis(palette, { size: 62 }),
        ],
        series: [{}, line, line],
        bands: [{ series: [1, 2], fill }],
        hooks: {
          draw: [
            (plot) =>
              drawMarks(
                plot,
                shotsOfSession().map((shot) => ({
                  at: originS() + shot.firedAtNs / 1e9,
                  label: `shot ${shot.number}`,
                  colour: palette.mark,
                  dash: [4, 3],
                })),
              ),
          ],
        },
      },
    };
  };
  const { element, plot } = usePlot(heightPx, make, [system, isDark.value, channel]);
  useEffect(
    () =>
      effect(() => {
        traceTick.value;
        if (document.hidden || !plot.current) return;
        plot.current.setData(dataOf(channel, display.fromSi, windowS.value));
      }),
    [channel, display],
  );
  return (
    <figure class="trace">
      <figcaption>
        {name}{' '}
        {health !== 'healthy' && health !== 'waiting' && <strong class="loud">{HEALTH_WORD[health]}: what is drawn is no reading</strong>}{' '}
        <span class="unit">
          {display.symbol} absolute{Number.isFinite(ceilingSi) && `, shown up to ${display.fromSi(ceilingSi).toFixed(0)}`}
        </span>
      </figcaption>
      <div ref={element} class="plot" role="img" aria-label={`${name} against time; the present value is given in figures beside it`} />
    </figure>
  );
}

type RangeOf = (plot: uPlot, min: number | null, max: number | null) => uPlot.Range.MinMax;

const belowCeiling =
  (range: RangeOf, ceiling: number): RangeOf =>
  (plot, min, max) =>
    range(plot, min === null ? null : Math.min(min, ceiling), max === null ? null : Math.min(max, ceiling));

export const shotsOfSession = () => shots.peek().filter((shot) => shot.sessionId === session.peek()?.sessionId);

export const originS = (): number => (session.peek()?.originUtcMs ?? 0) / 1000;

function xRange(): uPlot.Range.MinMax {
  const nowS = originS() + sessionNowNs() / 1e9;
  return [nowS - windowS.peek(), nowS];
}

function dataOf(channel: ChannelRole, shown: (si: number) => number, lengthS: number): uPlot.AlignedData {
  const trace = traces.get(channel);
  if (!trace) return EMPTY;
  const { timesS, min, max } = trace.read(sessionNowNs(), lengthS);
  const offsetS = originS();
  const convert = (value: number | null) => (value === null ? null : shown(value));
  return [timesS.map((time) => offsetS + time), max.map(convert), min.map(convert)];
}
