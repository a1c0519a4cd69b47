/** Against the time since the firing: when each beam was blocked, and which edges were left out. */
import type { RigSummary, Shot } from '../../protocol/index.ts';
import { blockedIntervals, stripRangeS } from './edge-intervals.ts';
import { node, px, type SvgNode } from './svg-node.ts';

const ROW = 24;
const LEFT = 34;
const RIGHT = 14;
const AXIS = 40;
const TICK_STEPS_MS = [0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500];
const TICKS_PX = 55;
const LEAST_BAR_PX = 3;

export interface StripPlace {
  readonly widthPx: number;
  readonly topPx: number;
}

const names = (gates: RigSummary['gates']): readonly string[] => gates.map(({ name }) => name);

/** 0 where the shot has no edge of these gates. */
export const stripHeightPx = (shot: Shot, gates: RigSummary['gates']): number =>
  stripRangeS(shot, names(gates)) ? gates.length * ROW + AXIS : 0;

export function edgeStrip(shot: Shot, gates: RigSummary['gates'], { widthPx, topPx }: StripPlace): readonly SvgNode[] {
  const range = stripRangeS(shot, names(gates));
  if (!range) return [];
  const [fromS, toS] = range;
  const x = (timeS: number): number => px(LEFT + ((timeS - fromS) / (toS - fromS)) * (widthPx - LEFT - RIGHT));
  const bottom = topPx + gates.length * ROW;
  return [
    ...ticksMs(fromS, toS, widthPx).map((ms) =>
      node(
        'g',
        { class: 'tick' },
        node('line', { x1: x(ms / 1e3), x2: x(ms / 1e3), y1: topPx, y2: bottom + 4, stroke: '#d8d8d8' }),
        node('text', { x: x(ms / 1e3), y: bottom + 18, 'text-anchor': 'middle', fill: '#444' }, String(ms).replace('-', '\u2212')),
      ),
    ),
    ...gates.map(({ name }, row) => gateRow(shot, name, { y: topPx + row * ROW, x, rightPx: widthPx - RIGHT })),
    node(
      'text',
      { class: 'axis-name', x: px((LEFT + widthPx - RIGHT) / 2), y: bottom + 34, 'text-anchor': 'middle', fill: '#444' },
      'Since the firing, ms',
    ),
  ];
}

interface RowPlace {
  readonly y: number;
  readonly x: (timeS: number) => number;
  readonly rightPx: number;
}

function gateRow(shot: Shot, gate: string, { y, x, rightPx }: RowPlace): SvgNode {
  const middle = y + ROW / 2;
  const rejected = shot.edges.filter((edge) => edge.gate === gate && edge.verdict === 'rejected');
  return node(
    'g',
    {},
    node('text', { class: 'row-name', x: 2, y: middle + 5, fill: '#222', 'font-weight': 600 }, gate),
    node('line', { class: 'row-line', x1: LEFT, x2: rightPx, y1: middle, y2: middle, stroke: '#8a8a8a' }),
    ...blockedIntervals(shot, gate).map(({ startS, endS }) =>
      node(
        'rect',
        {
          class: 'blocked',
          x: x(startS),
          y: y + 4,
          width: px(Math.max(LEAST_BAR_PX, x(endS) - x(startS))),
          height: ROW - 8,
          fill: '#5b2a86',
        },
        node('title', {}, `${gate} blocked for ${((endS - startS) * 1e3).toFixed(4)} ms`),
      ),
    ),
    ...rejected.map((edge) =>
      node(
        'path',
        {
          class: 'rejected',
          d: `M${px(x(edge.timeS) - 4)} ${middle - 5}l8 10m0 -10l-8 10`,
          fill: 'none',
          stroke: '#9b0d0d',
          'stroke-width': 2.5,
        },
        node('title', {}, `${gate}: rejected, ${edge.reason}`),
      ),
    ),
  );
}

function ticksMs(fromS: number, toS: number, widthPx: number): readonly number[] {
  const spanMs = (toS - fromS) * 1000;
  const step = TICK_STEPS_MS.find((one) => spanMs / one <= widthPx / TICKS_PX) ?? spanMs;
  const first = Math.ceil((fromS * 1000) / step);
  const last = Math.floor((toS * 1000) / step);
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, index) => (first + index) * step);
}
