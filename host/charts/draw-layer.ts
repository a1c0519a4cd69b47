import type { BandLayer, ChartPoint, Layer } from './chart.ts';
import { lookClass, lookOf, marked, stroked } from './looks.ts';
import type { Scale } from './scale.ts';
import { node, px, type SvgNode } from './svg-node.ts';

export interface Frame {
  readonly x: Scale;
  readonly y: Scale;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Half the length of the bar across an error bar's end, px. */
const CAP = 3;

export function drawLayer(layer: Layer, frame: Frame): readonly SvgNode[] {
  const { x, y } = frame;
  switch (layer.kind) {
    case 'band':
      return runsOf(layer.points, ({ x: at, low, high }) => [at, low, high]).flatMap((run) => band(run, layer, frame));
    case 'line':
      return runsOf(layer.points, (point) => [point.x, point.y]).map((run) =>
        stroked(path(run.map((point) => [x.at(point.x), y.at(point.y)])), layer.look),
      );
    case 'points':
      return layer.points
        .filter((point) => Number.isFinite(point.x + point.y))
        .flatMap((point) => drawPoint(point, layer.look, layer.hollow === true, frame));
    case 'rule':
      return [
        stroked(
          layer.axis === 'x'
            ? path([
                [x.at(layer.at), frame.top],
                [x.at(layer.at), frame.bottom],
              ])
            : path([
                [frame.left, y.at(layer.at)],
                [frame.right, y.at(layer.at)],
              ]),
          layer.look,
        ),
      ];
  }
}

export const path = (points: readonly (readonly [number, number])[]): string =>
  points.map(([x, y], i) => `${i === 0 ? 'M' : 'L'}${px(x)} ${px(y)}`).join('');

/** Pieces between values that are not finite; a single value draws nothing. */
function runsOf<T>(points: readonly T[], values: (point: T) => readonly number[]): readonly (readonly T[])[] {
  const runs: T[][] = [[]];
  for (const point of points) {
    if (values(point).every(Number.isFinite)) runs.at(-1)?.push(point);
    else runs.push([]);
  }
  return runs.filter((run) => run.length > 1);
}

/** Filled, and edged in its own dash, which a print without greys still shows. */
function band(points: BandLayer['points'], { look }: BandLayer, { x, y }: Frame): readonly SvgNode[] {
  const high = points.map((point) => [x.at(point.x), y.at(point.high)] as const);
  const low = points.map((point) => [x.at(point.x), y.at(point.low)] as const);
  const fill = {
    class: `chart-band ${lookClass(look)}`,
    d: `${path([...high, ...low.toReversed()])}z`,
    fill: lookOf(look).colour,
    'fill-opacity': 0.16,
  };
  return [node('path', fill), ...[high, low].map((edge) => stroked(path(edge), look, { 'stroke-width': 0.8 }))];
}

function drawPoint(point: ChartPoint, look: number, hollow: boolean, { x, y }: Frame): readonly SvgNode[] {
  const [cx, cy] = [x.at(point.x), y.at(point.y)];
  const bars: string[] = [];
  if (point.xHalf !== undefined && point.xHalf > 0) {
    const [from, to] = [x.at(point.x - point.xHalf), x.at(point.x + point.xHalf)];
    bars.push(`M${px(from)} ${px(cy)}H${px(to)}M${px(from)} ${px(cy - CAP)}v${2 * CAP}M${px(to)} ${px(cy - CAP)}v${2 * CAP}`);
  }
  if (point.yHalf !== undefined && point.yHalf > 0) {
    const [from, to] = [y.at(point.y - point.yHalf), y.at(point.y + point.yHalf)];
    bars.push(`M${px(cx)} ${px(from)}V${px(to)}M${px(cx - CAP)} ${px(from)}h${2 * CAP}M${px(cx - CAP)} ${px(to)}h${2 * CAP}`);
  }
  const given = { class: `chart-line ${lookClass(look)}`, d: bars.join(''), fill: 'none', stroke: lookOf(look).colour, 'stroke-width': 1 };
  return [...(bars.length > 0 ? [node('path', given)] : []), marked(cx, cy, look, hollow, point.title)];
}
