/** A drawing as a file: SVG as it is written, PNG as the browser draws that. Nothing leaves this computer. */
import { type SvgNode, svgText } from '../../../host/charts/index.ts';

export type PictureKind = 'svg' | 'png';

/** A print of it is still sharp. */
const PNG_SCALE = 2;
const NAME_CHARACTERS_MAX = 80;
/** The browser has read the file long before. */
const FORGET_AFTER_MS = 60_000;

/** @throws (rejects) Error where the browser cannot draw it */
export async function savePicture(drawing: SvgNode, kind: PictureKind, title: string): Promise<void> {
  const blob = kind === 'svg' ? svgBlob(drawing) : await pngBlob(drawing);
  const address = URL.createObjectURL(blob);
  const link = document.createElement('a');
  link.href = address;
  link.download = `${fileName(title)}.${kind}`;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), FORGET_AFTER_MS);
}

/** Such as `shot-3-velocity-along-the-range`. */
export function fileName(title: string): string {
  const words = title.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? [];
  return words.join('-').slice(0, NAME_CHARACTERS_MAX).replace(/-$/, '') || 'picture';
}

const svgBlob = (drawing: SvgNode): Blob =>
  new Blob([`<?xml version="1.0" encoding="UTF-8"?>\n${svgText(drawing)}\n`], { type: 'image/svg+xml' });

async function pngBlob(drawing: SvgNode): Promise<Blob> {
  const image = new Image();
  const drawn = new Promise<void>((resolve, reject) => {
    image.onload = () => resolve();
    image.onerror = () => reject(new Error('the browser could not draw it'));
  });
  // By its own text: an address of a blob is none that the page may show as a picture.
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svgText(drawing))}`;
  await drawn;
  const canvas = document.createElement('canvas');
  canvas.width = Math.round(Number(drawing.attributes.width) * PNG_SCALE);
  canvas.height = Math.round(Number(drawing.attributes.height) * PNG_SCALE);
  const context = canvas.getContext('2d');
  if (!context) throw new Error('the browser has no canvas to draw on');
  context.drawImage(image, 0, 0, canvas.width, canvas.height);
  return new Promise((resolve, reject) =>
    canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error('the browser could not make the file'))), 'image/png'),
  );
}
