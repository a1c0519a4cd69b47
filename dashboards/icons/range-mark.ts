/** The mark of the pages: two light gates across the line of flight, the ball between them, the target behind. Squares of 512 by 512. */

export type Shape =
  | { readonly kind: 'box'; readonly x: number; readonly y: number; readonly width: number; readonly height: number; readonly fill: Colour }
  | { readonly kind: 'disc'; readonly cx: number; readonly cy: number; readonly r: number; readonly fill: Colour };

/** `#rrggbb`. */
export type Colour = `#${string}`;

export const SIDE = 512;

const PAPER = '#fffefa';
const INK = '#0d1c2b';
const RULE = '#7c8a94';
const BALL = '#8a2f0b';

const box = (x: number, y: number, width: number, height: number, fill: Colour): Shape => ({ kind: 'box', x, y, width, height, fill });

/** Dashes of the line of flight: long, short, long, as a drawing has its centre lines. */
const FLIGHT: readonly Shape[] = [
  box(40, 250, 72, 12, RULE),
  box(128, 250, 20, 12, RULE),
  box(164, 250, 184, 12, RULE),
  box(364, 250, 20, 12, RULE),
  box(400, 250, 44, 12, RULE),
];

/** A gate: its beam, and its frame's two feet. */
const gate = (x: number): readonly Shape[] => [box(x - 14, 84, 28, 344, INK), box(x - 38, 84, 76, 28, INK), box(x - 38, 400, 76, 28, INK)];

const TARGET: Shape = box(444, 120, 28, 272, INK);

const RANGE: readonly Shape[] = [...FLIGHT, ...gate(128), ...gate(348), TARGET, { kind: 'disc', cx: 238, cy: 256, r: 66, fill: BALL }];

/** As it stands in a tab and on a screen. */
export const MARK: readonly Shape[] = [box(0, 0, SIDE, SIDE, PAPER), ...RANGE];

/**
 * For systems that cut icons to a shape of their own: all that matters within the middle circle of four fifths of the
 * width (W3C, Web Application Manifest, "Icon masks and safe zone").
 */
export const MASKABLE: readonly Shape[] = [box(0, 0, SIDE, SIDE, PAPER), ...RANGE.map((shape) => shrunk(shape, 0.66))];

function shrunk(shape: Shape, by: number): Shape {
  const to = (value: number): number => SIDE / 2 + (value - SIDE / 2) * by;
  if (shape.kind === 'disc') return { ...shape, cx: to(shape.cx), cy: to(shape.cy), r: shape.r * by };
  return { ...shape, x: to(shape.x), y: to(shape.y), width: shape.width * by, height: shape.height * by };
}
