/**
 * The range to scale along the flight line: barrel, gates and their pairs, camera marks, target; and below it, against
 * time, when each beam was blocked and which edges were left out. A gate that saw nothing is dashed. Heights are not to
 * scale. Colours are for white paper; each part has a class by which a page's style sheet sets its own.
 */
import type { RigSummary, Shot } from '../../protocol/index.ts';
import { type DisplaySystem, formatValue } from '../units/index.ts';
import { edgeStrip, stripHeightPx } from './edge-strip.ts';
import { node, px, type SvgNode } from './svg-node.ts';

export interface RangePictureSize {
  readonly widthPx: number;
  /** Unique in its page. */
  readonly id: string;
  readonly system?: DisplaySystem;
  /** Written above it, as a file has it; left out where the page has a heading. */
  readonly title?: string;
}

const TITLE = 28;
const AXIS = 66;
const BELOW_AXIS = 64;
const MARKS = 22;
const SIDE = 14;
const INK = '#222';
const QUIET = '#444';
const MARK = '#5b2a86';
const LABEL_PX = 26;
const MARK_NAME_GAP_PX = 5;

export function rangePicture(shot: Shot, rig: RigSummary, { widthPx, id, system = 'SI', title }: RangePictureSize): SvgNode {
  const scale = (widthPx - 2 * SIDE) / (rig.barrelLengthM + rig.targetPositionM);
  const x = (m: number): number => px(SIDE + (rig.barrelLengthM + m) * scale);
  const length = (m: number): string => formatValue(m, 'length', system);
  const marks = (rig.cameras ?? []).flatMap((camera) => camera.marks.map(({ name, positionM }) => ({ name, atM: positionM.value })));
  const stripTop = AXIS + BELOW_AXIS + (marks.length > 0 ? MARKS : 0);
  const aboveIt = title === undefined ? 0 : TITLE;
  const heightPx = aboveIt + stripTop + stripHeightPx(shot, rig.gates);
  return node(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      width: widthPx,
      height: heightPx,
      viewBox: `0 ${-aboveIt} ${widthPx} ${heightPx}`,
      role: 'img',
      'aria-labelledby': `${id}-title`,
      'font-family': 'system-ui, sans-serif',
      'font-size': 12,
    },
    node('title', { id: `${id}-title` }, said(shot, rig, length)),
    node('rect', { class: 'chart-paper', y: -aboveIt, width: widthPx, height: heightPx, fill: '#fff' }),
    ...(title === undefined ? [] : [words('', title, { x: 2, y: 17 - TITLE, fill: INK, 'font-size': 14, 'font-weight': 600 })]),
    node('line', {
      class: 'flight',
      x1: x(0),
      x2: x(rig.targetPositionM),
      y1: AXIS,
      y2: AXIS,
      stroke: INK,
      'stroke-dasharray': '10 4 2 4',
    }),
    node('rect', {
      class: 'barrel-body',
      x: x(-rig.barrelLengthM),
      y: AXIS - 8,
      width: px(rig.barrelLengthM * scale),
      height: 16,
      fill: '#ddd',
      stroke: INK,
    }),
    words('caption', `barrel ${length(rig.barrelLengthM)}`, {
      x: x(-rig.barrelLengthM / 2),
      y: AXIS - 16,
      'text-anchor': 'middle',
      fill: QUIET,
    }),
    node('line', { class: 'datum', x1: x(0), x2: x(0), y1: AXIS - 26, y2: AXIS + 42, stroke: INK, 'stroke-dasharray': '5 3' }),
    words('caption', 'muzzle datum', { x: x(0), y: AXIS + 56, 'text-anchor': 'middle', fill: QUIET }),
    ...gates(shot, rig, x, length),
    ...pairs(rig, x),
    ...cameraMarks(marks, x),
    node('rect', { class: 'target', x: x(rig.targetPositionM), y: AXIS - 26, width: 7, height: 52, fill: INK }),
    words('caption', `target ${length(rig.targetPositionM)}`, { x: widthPx - 2, y: AXIS + 56, 'text-anchor': 'end', fill: QUIET }),
    ...edgeStrip(shot, rig.gates, { widthPx, topPx: stripTop }),
  );
}

function said(shot: Shot, rig: RigSummary, length: (m: number) => string): string {
  const seen = new Set(shot.passages.map(({ gate }) => gate));
  const missed = rig.gates.filter(({ name }) => !seen.has(name)).map(({ name }) => name);
  return `Range to scale along the flight line: barrel ${length(rig.barrelLengthM)} long; gates at ${rig.gates
    .map(({ name, positionM }) => `${name} ${length(positionM)}`)
    .join(
      ', ',
    )}; target at ${length(rig.targetPositionM)} from the muzzle datum${missed.length > 0 ? `; no passage at ${missed.join(', ')}` : ''}. Below it when each beam was blocked.`;
}

function gates(shot: Shot, rig: RigSummary, x: (m: number) => number, length: (m: number) => string): readonly SvgNode[] {
  const seen = new Set(shot.passages.map(({ gate }) => gate));
  // A gate close behind another has its name below, so that the two can be read.
  const isTight = (i: number): boolean =>
    i > 0 && x(rig.gates[i]?.positionM ?? 0) - x(rig.gates[i - 1]?.positionM ?? 0) < LABEL_PX && !isTight(i - 1);
  return rig.gates.map(({ name, positionM }, i) => {
    const isSeen = seen.has(name);
    const at = x(positionM);
    return node(
      'g',
      { class: isSeen ? 'gate' : 'gate missed' },
      node('title', {}, `${name}, ${length(positionM)} from the datum${isSeen ? '' : ': no passage'}`),
      node('line', {
        x1: at,
        x2: at,
        y1: AXIS - 24,
        y2: AXIS + 24,
        stroke: MARK,
        'stroke-width': 2,
        ...(isSeen ? {} : { 'stroke-dasharray': '3 4' }),
      }),
      node('path', {
        d: `M${px(at - 4)} ${AXIS - 30}h8v6h-8zM${px(at - 4)} ${AXIS + 24}h8v6h-8z`,
        ...(isSeen ? { fill: MARK } : { fill: 'none', stroke: MARK }),
      }),
      words('', name, { x: at, y: isTight(i) ? AXIS + 43 : AXIS - 36, 'text-anchor': 'middle', fill: INK, 'font-weight': 600 }),
    );
  });
}

/** Over each pair, between whose gates its velocity holds. */
function pairs(rig: RigSummary, x: (m: number) => number): readonly SvgNode[] {
  return [...new Set(rig.gates.map(({ pair }) => pair))].map((name) => {
    const places = rig.gates.filter(({ pair }) => pair === name).map(({ positionM }) => positionM);
    const [from, to] = [x(Math.min(...places)), x(Math.max(...places))];
    return node(
      'g',
      { class: 'pair' },
      node('path', { d: `M${from} 20v-5H${to}v5`, fill: 'none', stroke: QUIET }),
      words('', name, { x: px((from + to) / 2), y: 11, 'text-anchor': 'middle', fill: INK, 'font-weight': 600 }),
    );
  });
}

/** A short stroke each; a name that would lie on the one before it is left out. */
function cameraMarks(marks: readonly { readonly name: string; readonly atM: number }[], x: (m: number) => number): readonly SvgNode[] {
  let freeFrom = Number.NEGATIVE_INFINITY;
  return [...marks]
    .sort((a, b) => a.atM - b.atM)
    .map(({ name, atM }) => {
      const at = x(atM);
      const half = MARK_NAME_GAP_PX / 2 + 4.4 * name.length;
      const isNamed = at - half > freeFrom;
      if (isNamed) freeFrom = at + half;
      return node(
        'g',
        { class: 'range-mark' },
        node('title', {}, `camera mark ${name}`),
        node('path', { d: `M${at} ${AXIS + 60}l4 7h-8z`, fill: QUIET }),
        ...(isNamed ? [words('caption', name, { x: at, y: AXIS + 80, 'text-anchor': 'middle', fill: QUIET })] : []),
      );
    });
}

const words = (name: string, text: string, attributes: SvgNode['attributes']): SvgNode =>
  node('text', name === '' ? attributes : { class: name, ...attributes }, text);
