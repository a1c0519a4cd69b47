/** One channel, scrolling: the range between minimum and maximum of each run of samples, to the present moment. */
import { effect } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type uPlot from 'uplot';
import { DISPLAY, type QuantityKind } from '../../../host/units/index.ts';
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
  readonly channel: string;
  readonly name: string;
  readonly kind: QuantityKind;
  /** SI: a trace that hardly moves is not blown up beyond this. */
  readonly leastSpanSi: number;
  /** SI: the scale ends here, so that a firing's peak does not flatten everything else. Default: none. */
  readonly ceilingSi?: number;
  /** Said in words beside the unit. Default: it is one. */
  readonly isPressure?: boolean;
  readonly heightPx: number;
  /** Where a person chose it, and can take it away again. */
  readonly onRemove?: () => void;
}

/** A channel without a colour of its own stands alone in its drawing and needs none. */
const COLOURS: Readonly<Record<string, readonly ['reservoir', 'reservoirFill'] | readonly ['barrel', 'barrelFill']>> = {
  reservoirPressure: ['reservoir', 'reservoirFill'],
  barrelPressure: ['barrel', 'barrelFill'],
  barrelVacuum: ['barrel', 'barrelFill'],
};

/** The newest sample is drawn no later. */
const DRAWN_WITHIN_NS = 250e6;
/** A tick of the host that comes a little early is not passed over. */
const EARLY_SHARE = 0.9;

/** Until the picture has moved by one of the screen's own pixels, drawing it again shows nothing new. */
const leastMoveNs = (lengthS: number, widthPx: number): number =>
  EARLY_SHARE * Math.min(DRAWN_WITHIN_NS, (lengthS * 1e9) / Math.max(widthPx, 1));

const EMPTY: uPlot.AlignedData = [[], [], []];

export function TraceChart(props: TraceChartProps) {
  const { channel, name, kind, leastSpanSi, ceilingSi = Number.POSITIVE_INFINITY, isPressure = true, heightPx, onRemove } = props;
  const system = units.value;
  const display = DISPLAY[kind][system];
  const { health } = channelNow(channel);
  const make = (): PlotMake => {
    const palette = readPalette();
    const [stroke, fill] = COLOURS[channel] ?? (['ink', 'grid'] as const);
    const line: uPlot.Series = { stroke: palette[stroke], width: 2, points: { show: false } };
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
        bands: [{ series: [1, 2], fill: palette[fill] }],
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
  useEffect(() => {
    let drawn: { readonly atNs: number; readonly lengthS: number; readonly plot: uPlot } | undefined;
    return effect(() => {
      traceTick.value;
      const lengthS = windowS.value;
      if (document.hidden || !plot.current) return;
      const movedNs = Math.abs(sessionNowNs() - (drawn?.atNs ?? Number.NEGATIVE_INFINITY));
      const isSamePicture = drawn?.plot === plot.current && drawn.lengthS === lengthS;
      if (isSamePicture && movedNs < leastMoveNs(lengthS, plot.current.bbox.width)) return;
      drawn = { atNs: sessionNowNs(), lengthS, plot: plot.current };
      plot.current.setData(dataOf(channel, display.fromSi, lengthS));
    });
  }, [channel, display]);
  return (
    <figure class="trace">
      <figcaption>
        {name}{' '}
        {health !== 'healthy' && health !== 'waiting' && <strong class="loud">{HEALTH_WORD[health]}: what is drawn is no reading</strong>}{' '}
        <span class="unit">
          {display.symbol}
          {isPressure && ' absolute'}
          {Number.isFinite(ceilingSi) && `, shown up to ${display.fromSi(ceilingSi).toFixed(0)}`}
        </span>
        {onRemove && (
          <button type="button" aria-label={`Take the trace away: ${name}`} onClick={onRemove}>
            Take away
          </button>
        )}
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

function dataOf(channel: string, shown: (si: number) => number, lengthS: number): uPlot.AlignedData {
  const trace = traces.get(channel);
  if (!trace) return EMPTY;
  const { timesS, min, max } = trace.read(sessionNowNs(), lengthS);
  const offsetS = originS();
  const convert = (value: number | null) => (value === null ? null : shown(value));
  return [timesS.map((time) => offsetS + time), max.map(convert), min.map(convert)];
}
