/** The numbers behind a chart, layer by layer, as a table has them: for those who cannot see it, and for copying. */
import type { Axis, Chart, Layer } from './chart.ts';

export interface ChartRows {
  readonly name: string;
  readonly columns: readonly string[];
  readonly rows: readonly (readonly string[])[];
}

/** Of a line or a band: enough to draw it by hand. */
const ROWS_MAX = 25;

export function chartRows(chart: Chart): readonly ChartRows[] {
  const { x, y, layers } = chart;
  const marks = layers.flatMap((layer) => (layer.kind === 'rule' && layer.axis === 'x' ? [layer] : []));
  const drawn = layers.filter((layer) => layer.kind !== 'rule').map((layer, i) => rowsOf(layer, `${y.label} ${i + 1}`, chart));
  const events: ChartRows = {
    name: 'Marked',
    columns: ['What', headOf(x)],
    rows: marks.map(({ at, label, name }) => [label ?? name ?? '', numberText(at)]),
  };
  return [...drawn.filter(({ rows }) => rows.length > 0), ...(marks.length > 0 ? [events] : [])];
}

function rowsOf(layer: Exclude<Layer, { kind: 'rule' }>, unnamed: string, { x, y }: Chart): ChartRows {
  const name = layer.name ?? unnamed;
  switch (layer.kind) {
    case 'line':
      return {
        name,
        columns: [headOf(x), headOf(y)],
        rows: thinned(layer.points).map((point) => [numberText(point.x), numberText(point.y)]),
      };
    case 'band':
      return {
        name,
        columns: [headOf(x), `${headOf(y)}: from`, 'to'],
        rows: thinned(layer.points).map(({ x: at, low, high }) => [at, low, high].map(numberText)),
      };
    case 'points':
      return {
        name,
        columns: [headOf(x), headOf(y), '±'],
        rows: layer.points.map((point) => [
          numberText(point.x),
          numberText(point.y),
          point.yHalf === undefined ? '' : numberText(point.yHalf),
        ]),
      };
  }
}

const headOf = ({ label, unit }: Axis): string => (unit === '' ? label : `${label}, ${unit}`);

/** As many digits as a chart can be read to, and some: what is drawn, not what is known. */
function numberText(value: number): string {
  if (!Number.isFinite(value)) return '–';
  return String(Number(value.toPrecision(7))).replace(/^-/, '\u2212');
}

function thinned<T>(points: readonly T[]): readonly T[] {
  const count = Math.min(ROWS_MAX, points.length);
  return Array.from({ length: count }, (_, i) => points[Math.round((i * (points.length - 1)) / Math.max(count - 1, 1))] as T);
}
