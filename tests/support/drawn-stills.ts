/** Stills of a camera as PNG files, drawn with known truth by the browser that will open them: marks as crosses, the ball as a disc. */
import type { Page } from 'playwright-core';
import type { CameraTrack } from '../../protocol/index.ts';

export interface StillFile {
  readonly name: string;
  readonly mimeType: string;
  readonly buffer: Buffer;
}

const BALL_RADIUS_PX = 20;

/** @param track  where everything truly is, px */
export async function drawnStills(
  page: Page,
  { marks, frames }: CameraTrack,
  size: readonly [number, number],
): Promise<readonly StillFile[]> {
  const files: StillFile[] = [];
  for (const { frame, xPx, yPx } of frames) {
    const url: string = await page.evaluate(DRAW, { marks, ball: { xPx, yPx }, size, radius: BALL_RADIUS_PX });
    const buffer = Buffer.from(url.slice(url.indexOf(',') + 1), 'base64');
    files.push({ name: `heron_${String(frame).padStart(6, '0')}.png`, mimeType: 'image/png', buffer });
  }
  return files;
}

/** Runs in the page, whose types these tests do not have. */
const DRAW = new Function(
  'of',
  `const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = of.size;
  const to = canvas.getContext('2d');
  to.fillStyle = '#5d6a62';
  to.fillRect(0, 0, canvas.width, canvas.height);
  to.strokeStyle = '#111';
  to.lineWidth = 3;
  for (const { xPx, yPx } of of.marks) {
    to.beginPath();
    to.moveTo(xPx - 18, yPx); to.lineTo(xPx + 18, yPx);
    to.moveTo(xPx, yPx - 18); to.lineTo(xPx, yPx + 18);
    to.stroke();
  }
  to.fillStyle = '#f4f1e6';
  to.beginPath();
  to.arc(of.ball.xPx, of.ball.yPx, of.radius, 0, 2 * Math.PI);
  to.fill();
  return canvas.toDataURL('image/png');`,
) as (of: unknown) => string;
