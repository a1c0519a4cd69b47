/** The key below a chart: each named layer with the stroke or mark that it has in it. */
import type { Layer } from './chart.ts';
import { lookClass, lookOf, marked, stroked } from './looks.ts';
import { node, px, type SvgNode } from './svg-node.ts';

export const KEY_ROW_PX = 19;
const SAMPLE_PX = 26;
/** Of a letter of the key's size, on average and a little more: nothing here can measure text. */
const LETTER_PX = 6.9;
const BETWEEN_PX = 18;

export interface Key {
  readonly nodes: readonly SvgNode[];
  readonly rows: number;
}

export function drawKey(layers: readonly Layer[], at: { readonly x: number; readonly y: number; readonly widthPx: number }): Key {
  let [x, row] = [0, 0];
  const nodes = layers.flatMap((layer) => {
    if (layer.name === undefined) return [];
    const widthPx = SAMPLE_PX + 6 + layer.name.length * LETTER_PX;
    if (x > 0 && x + widthPx > at.widthPx) [x, row] = [0, row + 1];
    const [left, middle] = [at.x + x, at.y + row * KEY_ROW_PX];
    x += widthPx + BETWEEN_PX;
    const words = node(
      'text',
      { class: 'chart-text', x: px(left + SAMPLE_PX + 6), y: px(middle + 4), 'font-size': 12, fill: '#222' },
      layer.name,
    );
    return [...sample(layer, left, middle), words];
  });
  return { nodes, rows: nodes.length === 0 ? 0 : row + 1 };
}

function sample(layer: Layer, x: number, y: number): readonly SvgNode[] {
  if (layer.kind === 'points') return [marked(x + SAMPLE_PX / 2, y, layer.look, layer.hollow === true, undefined)];
  if (layer.kind !== 'band') return [stroked(`M${px(x)} ${px(y)}h${SAMPLE_PX}`, layer.look)];
  const box = `M${px(x)} ${px(y - 6)}h${SAMPLE_PX}v12h${-SAMPLE_PX}z`;
  const given = { class: `chart-band ${lookClass(layer.look)}`, d: box, fill: lookOf(layer.look).colour, 'fill-opacity': 0.16 };
  return [node('path', given), stroked(box, layer.look, { 'stroke-width': 0.8 })];
}
