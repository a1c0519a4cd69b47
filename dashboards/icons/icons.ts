import { pixelsOf } from './pixels-of.ts';
import { pngOf } from './png-of.ts';
import { MARK, MASKABLE, type Shape } from './range-mark.ts';
import { svgOf } from './svg-of.ts';

export interface Icon {
  /** Under `dashboards/public/`. */
  readonly file: string;
  /** Of a PNG. */
  readonly sizePx?: number;
  readonly shapes: readonly Shape[];
  readonly content: () => Buffer;
}

const svg = (file: string, shapes: readonly Shape[]): Icon => ({ file, shapes, content: () => Buffer.from(svgOf(shapes, 'Postern')) });
const png = (file: string, shapes: readonly Shape[], sizePx: number): Icon => ({
  file,
  shapes,
  sizePx,
  content: () => pngOf(pixelsOf(shapes, sizePx), sizePx),
});

/** 192 and 512 are what browsers ask for to install a page, 180 what iOS does (from memory). */
export const ICONS: readonly Icon[] = [
  svg('favicon.svg', MARK),
  png('icons/mark-192.png', MARK, 192),
  png('icons/mark-512.png', MARK, 512),
  png('icons/maskable-512.png', MASKABLE, 512),
  png('icons/touch-180.png', MASKABLE, 180),
];
