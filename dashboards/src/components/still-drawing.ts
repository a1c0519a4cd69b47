/** A still with its marks, and the neighbourhood of the cross enlarged. */
import type { PicturePoint } from '../../../protocol/index.ts';

export interface StillMarks {
  readonly cross: PicturePoint;
  readonly marks: Readonly<Record<string, PicturePoint>>;
  /** In this still. */
  readonly ball: PicturePoint | undefined;
}

/** Of the glass, screen px a px of the picture. */
const ENLARGED = 8;

export function drawStill(canvas: HTMLCanvasElement, still: ImageBitmap, { cross, marks, ball }: StillMarks): void {
  const context = sized(canvas, still.width, still.height);
  if (!context) return;
  context.drawImage(still, 0, 0);
  // As wide on the screen whatever the picture's size.
  const unit = still.width / Math.max(1, canvas.clientWidth);
  for (const [name, place] of Object.entries(marks)) ring(context, place, unit, name);
  if (ball) ring(context, ball, unit, '');
  lines(context, cross, 14 * unit, unit);
}

export function drawGlass(canvas: HTMLCanvasElement, still: ImageBitmap, { xPx, yPx }: PicturePoint): void {
  const context = canvas.getContext('2d');
  if (!context) return;
  const { width, height } = canvas;
  context.fillStyle = '#000';
  context.fillRect(0, 0, width, height);
  context.imageSmoothingEnabled = false;
  const [wide, high] = [width / ENLARGED, height / ENLARGED];
  context.drawImage(still, xPx - wide / 2, yPx - high / 2, wide, high, 0, 0, width, height);
  lines(context, { xPx: width / 2, yPx: height / 2 }, width / 2, 1);
}

function sized(canvas: HTMLCanvasElement, width: number, height: number): CanvasRenderingContext2D | null {
  if (canvas.width !== width) canvas.width = width;
  if (canvas.height !== height) canvas.height = height;
  return canvas.getContext('2d');
}

/** Black under white: seen on any picture. */
function stroked(context: CanvasRenderingContext2D, unit: number, draw: () => void): void {
  for (const [style, width] of [
    ['#000', 3],
    ['#fff', 1.2],
  ] as const) {
    context.strokeStyle = style;
    context.lineWidth = width * unit;
    context.beginPath();
    draw();
    context.stroke();
  }
}

function lines(context: CanvasRenderingContext2D, { xPx, yPx }: PicturePoint, length: number, unit: number): void {
  stroked(context, unit, () => {
    context.moveTo(xPx - length, yPx);
    context.lineTo(xPx + length, yPx);
    context.moveTo(xPx, yPx - length);
    context.lineTo(xPx, yPx + length);
  });
}

function ring(context: CanvasRenderingContext2D, { xPx, yPx }: PicturePoint, unit: number, name: string): void {
  stroked(context, unit, () => context.arc(xPx, yPx, 9 * unit, 0, 2 * Math.PI));
  if (name === '') return;
  context.font = `${14 * unit}px sans-serif`;
  context.lineWidth = 3 * unit;
  context.strokeStyle = '#000';
  context.fillStyle = '#fff';
  context.strokeText(name, xPx + 12 * unit, yPx - 6 * unit);
  context.fillText(name, xPx + 12 * unit, yPx - 6 * unit);
}
