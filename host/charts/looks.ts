/**
 * Colours that people with any kind of colour vision tell apart, by M. Okabe and K. Ito, "Color Universal Design" (2008,
 * values from memory), darkened where they would be too pale for a thin line on paper; and for prints without colour a
 * dash and a mark of its own for each.
 */
import { node, px, type SvgNode } from './svg-node.ts';

interface LookStyle {
  readonly colour: string;
  readonly dash: string;
  readonly mark: (x: number, y: number) => string;
}

const R = 4;
const circle = (x: number, y: number): string => `M${px(x - R)} ${px(y)}a${R} ${R} 0 1 0 ${2 * R} 0a${R} ${R} 0 1 0 ${-2 * R} 0z`;
const square = (x: number, y: number): string => `M${px(x - R)} ${px(y - R)}h${2 * R}v${2 * R}h${-2 * R}z`;
const triangle = (x: number, y: number): string => `M${px(x)} ${px(y - R - 1)}l${R + 1} ${2 * R + 1}h${-2 * R - 2}z`;
const diamond = (x: number, y: number): string => `M${px(x)} ${px(y - R - 1)}l${R + 1} ${R + 1}l${-R - 1} ${R + 1}l${-R - 1} ${-R - 1}z`;

const LOOKS: readonly LookStyle[] = [
  { colour: '#005a8c', dash: '', mark: circle },
  { colour: '#b34700', dash: '7 4', mark: square },
  { colour: '#00684d', dash: '2 3', mark: triangle },
  { colour: '#9c4f7c', dash: '9 3 2 3', mark: diamond },
  { colour: '#3a3a3a', dash: '12 3', mark: square },
  { colour: '#8a6d00', dash: '4 2', mark: circle },
];

export const lookOf = (look: number): LookStyle => LOOKS[Math.abs(Math.trunc(look)) % LOOKS.length] as LookStyle;

/** For a page's style sheet, which may set other colours by it. */
export const lookClass = (look: number): string => `look-${Math.abs(Math.trunc(look)) % LOOKS.length}`;

/** A line in its look; `none` inside. */
export const stroked = (d: string, look: number, extra: SvgNode['attributes'] = {}): SvgNode => {
  const { colour, dash } = lookOf(look);
  const given = { class: `chart-line ${lookClass(look)}`, d, fill: 'none', stroke: colour, 'stroke-width': 1.8, ...extra };
  return node('path', dash === '' ? given : { ...given, 'stroke-dasharray': dash });
};

export function marked(x: number, y: number, look: number, hollow: boolean, title: string | undefined): SvgNode {
  const { colour, mark } = lookOf(look);
  const fill = hollow ? 'none' : colour;
  const given = {
    class: `chart-mark ${hollow ? 'hollow ' : ''}${lookClass(look)}`,
    d: mark(x, y),
    fill,
    stroke: colour,
    'stroke-width': 1.4,
  };
  return node('path', given, ...(title === undefined ? [] : [node('title', {}, title)]));
}
