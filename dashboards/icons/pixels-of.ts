import { type Shape, SIDE } from './range-mark.ts';

/** Samples of one picture element, each way. */
const FINE = 4;
const PAPER = [255, 255, 255] as const;

/**
 * Draws shapes one over the other, their edges smoothed.
 * @param sizePx  of the square
 * @returns red, green and blue of each picture element, row by row from the top
 */
export function pixelsOf(shapes: readonly Shape[], sizePx: number): Uint8Array {
  const pixels = new Uint8Array(3 * sizePx * sizePx);
  const colours = shapes.map(({ fill }) => [1, 3, 5].map((at) => Number.parseInt(fill.slice(at, at + 2), 16)));
  const step = SIDE / sizePx / FINE;
  for (let pixel = 0; pixel < sizePx * sizePx; pixel += 1) {
    const [left, top] = [(pixel % sizePx) * FINE, Math.floor(pixel / sizePx) * FINE];
    let [red, green, blue] = [0, 0, 0];
    for (let sample = 0; sample < FINE * FINE; sample += 1) {
      const x = (left + (sample % FINE) + 0.5) * step;
      const y = (top + Math.floor(sample / FINE) + 0.5) * step;
      const [r = 0, g = 0, b = 0] = colours[topmost(shapes, x, y)] ?? PAPER;
      red += r;
      green += g;
      blue += b;
    }
    pixels.set(
      [red, green, blue].map((sum) => Math.round(sum / FINE / FINE)),
      3 * pixel,
    );
  }
  return pixels;
}

/** @returns -1 where there is none */
function topmost(shapes: readonly Shape[], x: number, y: number): number {
  for (let index = shapes.length - 1; index >= 0; index -= 1) {
    const shape = shapes[index];
    if (shape && covers(shape, x, y)) return index;
  }
  return -1;
}

function covers(shape: Shape, x: number, y: number): boolean {
  if (shape.kind === 'disc') return Math.hypot(x - shape.cx, y - shape.cy) <= shape.r;
  return x >= shape.x && x < shape.x + shape.width && y >= shape.y && y < shape.y + shape.height;
}
