/** Words at the upper ends of upright rules: in a few rows, so that neighbours close together can be read. */
import type { Layer } from './chart.ts';
import type { Frame } from './draw-layer.ts';
import { node, px, type SvgNode } from './svg-node.ts';

const ROWS = 3;
const ROW_PX = 13;
/** Of a letter of the label's size, on average and a little more. */
const LETTER_PX = 6.4;
const GAP_PX = 4;

/** One for which no row is free is left out: its rule still stands, and the table behind the chart has it. */
export function drawRuleLabels(layers: readonly Layer[], { x, left, right, top }: Frame): readonly SvgNode[] {
  const rules = layers.flatMap((layer) => (layer.kind === 'rule' && layer.axis === 'x' && layer.label ? [layer] : []));
  const freeFrom = Array.from({ length: ROWS }, () => Number.NEGATIVE_INFINITY);
  return rules
    .map(({ at, label = '' }) => ({ at: x.at(at), label }))
    .filter(({ at }) => at >= left && at <= right)
    .sort((a, b) => a.at - b.at)
    .flatMap(({ at, label }) => {
      const widthPx = label.length * LETTER_PX;
      // Beside the frame's right edge a word stands before its rule.
      const from = at + GAP_PX + widthPx > right ? at - GAP_PX - widthPx : at + GAP_PX;
      const row = freeFrom.findIndex((free) => free <= from);
      if (row < 0) return [];
      freeFrom[row] = from + widthPx + GAP_PX;
      return [node('text', { class: 'chart-text', x: px(from), y: px(top + ROW_PX * (row + 1)), 'font-size': 11, fill: '#222' }, label)];
    });
}
