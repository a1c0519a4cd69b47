/**
 * A chart as a drawing: title, axes with units, bands, lines, points with error bars, and a key. Pure and without a
 * browser, so that a command, a printed report and a page show the same. Colours are for white paper; each part has a
 * class by which a page's style sheet sets its own.
 */
import type { Axis, Chart } from './chart.ts';
import { drawLayer, type Frame } from './draw-layer.ts';
import { drawKey, KEY_ROW_PX } from './key.ts';
import { drawRuleLabels } from './rule-labels.ts';
import { ratioScaleOf, type Scale, scaleOf, spanOf } from './scale.ts';
import { node, px, type SvgNode } from './svg-node.ts';

export interface ChartSize {
  /** px, 200 or more. */
  readonly widthPx: number;
  /** Of the frame with the curves in it, px. */
  readonly frameHeightPx: number;
  /** Unique in its page: ids are made from it. */
  readonly id: string;
}

const LEFT = 62;
const RIGHT = 14;
const TOP = 34;
const BELOW = 46;
const INK = '#222';
const GRID = '#d8d8d8';

export function drawChart(chart: Chart, { widthPx, frameHeightPx, id }: ChartSize): SvgNode {
  const [left, right, top, bottom] = [LEFT, widthPx - RIGHT, TOP, TOP + frameHeightPx];
  const [xTicks, yTicks] = [Math.max(3, Math.round((right - left) / 80)), Math.max(3, Math.round(frameHeightPx / 50))];
  const x = axisScale(chart, 'x', [left, right], xTicks);
  const y = axisScale(chart, 'y', [bottom, top], yTicks);
  const frame: Frame = { x, y, left, right, top, bottom };
  const key = drawKey(chart.layers, { x: left, y: bottom + BELOW + 8, widthPx: right - left });
  const heightPx = bottom + BELOW + key.rows * KEY_ROW_PX + 4;
  const clip = `${id}-frame`;
  return node(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      class: 'chart',
      width: widthPx,
      height: heightPx,
      viewBox: `0 0 ${widthPx} ${heightPx}`,
      role: 'img',
      'aria-labelledby': `${id}-title ${id}-description`,
      'font-family': 'system-ui, sans-serif',
    },
    node('title', { id: `${id}-title` }, chart.title),
    node('desc', { id: `${id}-description` }, chart.description),
    node('rect', { class: 'chart-paper', width: widthPx, height: heightPx, fill: '#fff' }),
    node('clipPath', { id: clip }, node('rect', { x: left, y: top, width: px(right - left), height: frameHeightPx })),
    words(chart.title, { x: left, y: 20, 'font-size': 14, 'font-weight': 600 }),
    ...drawAxes(chart, frame),
    node(
      'g',
      { 'clip-path': `url(#${clip})` },
      ...chart.layers.flatMap((layer) => drawLayer(layer, frame)),
      ...drawRuleLabels(chart.layers, frame),
    ),
    node('rect', { class: 'chart-frame', x: left, y: top, width: px(right - left), height: frameHeightPx, fill: 'none', stroke: INK }),
    ...key.nodes,
  );
}

function axisScale(chart: Chart, which: 'x' | 'y', ends: readonly [number, number], ticksAbout: number): Scale {
  const span = spanOf(chart[which], chart.layers, which, ticksAbout);
  return chart[which].logarithmic ? ratioScaleOf(span, ends) : scaleOf(span, ends, ticksAbout);
}

function drawAxes(chart: Chart, { x, y, left, right, top, bottom }: Frame): readonly SvgNode[] {
  const line = (d: string) => node('path', { class: 'chart-grid', d, fill: 'none', stroke: GRID });
  return [
    ...x.ticks.map((tick) => line(`M${px(tick.at)} ${top}V${bottom}`)),
    ...y.ticks.map((tick) => line(`M${left} ${px(tick.at)}H${px(right)}`)),
    ...x.ticks.map((tick) =>
      words(tick.text, { x: px(centreWithin(tick, right + RIGHT)), y: bottom + 17, 'font-size': 12, 'text-anchor': 'middle' }),
    ),
    ...y.ticks.map((tick) => words(tick.text, { x: left - 7, y: px(tick.at + 4), 'font-size': 12, 'text-anchor': 'end' })),
    words(axisText(chart.x), { x: px((left + right) / 2), y: bottom + 36, 'font-size': 13, 'text-anchor': 'middle' }),
    words(axisText(chart.y), {
      x: 0,
      y: 0,
      'font-size': 13,
      'text-anchor': 'middle',
      transform: `translate(15 ${px((top + bottom) / 2)}) rotate(-90)`,
    }),
  ];
}

/** Of a digit of the ticks' size, half of its width and a little. */
const HALF_DIGIT_PX = 3.6;

/** A long number at the right end is moved in until the drawing holds it. */
const centreWithin = ({ at, text }: Scale['ticks'][number], widthPx: number): number => Math.min(at, widthPx - HALF_DIGIT_PX * text.length);

const words = (text: string, attributes: SvgNode['attributes']): SvgNode =>
  node('text', { class: 'chart-text', fill: INK, ...attributes }, text);

const axisText = ({ label, unit }: Axis): string => (unit === '' ? label : `${label}, ${unit}`);
