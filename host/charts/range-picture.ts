/** The range to scale along the flight line: barrel, gates, target; a gate that saw nothing is dashed. Heights are not to scale. */
import type { RigSummary, Shot } from '../../protocol/index.ts';
import { node, px, type SvgNode } from './svg-node.ts';

const HEIGHT = 96;
const AXIS = 52;
const SIDE = 16;
const INK = '#222';
const LABEL_PX = 26;

export function rangePicture(shot: Shot, rig: RigSummary, { widthPx, id }: { readonly widthPx: number; readonly id: string }): SvgNode {
  const scale = (widthPx - 2 * SIDE) / (rig.barrelLengthM + rig.targetPositionM);
  const x = (m: number): number => px(SIDE + (rig.barrelLengthM + m) * scale);
  const seen = new Set(shot.passages.map(({ gate }) => gate));
  const missed = rig.gates.filter(({ name }) => !seen.has(name)).map(({ name }) => name);
  const words = (text: string, at: number, y: number, anchor = 'middle') =>
    node('text', { x: at, y, 'font-size': 12, 'text-anchor': anchor, fill: INK }, text);
  const line = (x1: number, y1: number, x2: number, y2: number, extra: SvgNode['attributes'] = {}) =>
    node('line', { x1, y1, x2, y2, stroke: INK, 'stroke-width': 1.4, ...extra });
  const isTight = (i: number): boolean =>
    i > 0 && x(rig.gates[i]?.positionM ?? 0) - x(rig.gates[i - 1]?.positionM ?? 0) < LABEL_PX && !isTight(i - 1);
  return node(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      width: widthPx,
      height: HEIGHT,
      viewBox: `0 0 ${widthPx} ${HEIGHT}`,
      role: 'img',
      'aria-labelledby': `${id}-title`,
      'font-family': 'system-ui, sans-serif',
    },
    node(
      'title',
      { id: `${id}-title` },
      `The range to scale: barrel ${rig.barrelLengthM} m, gates ${rig.gates.map(({ name }) => name).join(', ')}, target at ${rig.targetPositionM} m${missed.length > 0 ? `; no passage at ${missed.join(', ')}` : ''}`,
    ),
    node('rect', { x: x(-rig.barrelLengthM), y: AXIS - 7, width: px(x(0) - x(-rig.barrelLengthM)), height: 14, fill: '#ddd', stroke: INK }),
    line(x(0), AXIS, x(rig.targetPositionM), AXIS, { 'stroke-dasharray': '6 4', 'stroke-width': 1 }),
    line(x(0), AXIS - 20, x(0), AXIS + 24),
    words('muzzle datum', x(0), AXIS + 38),
    ...rig.gates.flatMap(({ name, positionM }, i) => [
      line(x(positionM), AXIS - 18, x(positionM), AXIS + 18, seen.has(name) ? {} : { 'stroke-dasharray': '2 3' }),
      words(name, x(positionM), isTight(i) ? AXIS + 34 : AXIS - 24),
    ]),
    node('rect', { x: x(rig.targetPositionM), y: AXIS - 20, width: 6, height: 40, fill: INK }),
    words('target', widthPx - 2, AXIS + 38, 'end'),
  );
}
