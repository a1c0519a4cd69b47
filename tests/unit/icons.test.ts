/** The icons are what the drawing of the range gives, and the manifest names them as they are. */
import { readFileSync } from 'node:fs';
import { inflateSync } from 'node:zlib';
import { expect, test } from 'vitest';
import { ICONS } from '../../dashboards/icons/icons.ts';
import { pixelsOf } from '../../dashboards/icons/pixels-of.ts';
import { pngOf } from '../../dashboards/icons/png-of.ts';
import { MASKABLE, SIDE } from '../../dashboards/icons/range-mark.ts';
import { PAGE_PATHS } from '../../host/serve/page-paths.ts';

const publicFile = (file: string): Buffer => readFileSync(new URL(`../../dashboards/public/${file.replace(/^\//, '')}`, import.meta.url));

/** Another zlib packs the same picture otherwise: pictures are compared, not files. */
function pictureOf(png: Buffer) {
  const chunks: Record<string, Buffer> = {};
  for (let at = 8; at < png.length; at += 12 + png.readUInt32BE(at)) {
    chunks[png.toString('latin1', at + 4, at + 8)] = png.subarray(at + 8, at + 8 + png.readUInt32BE(at));
  }
  return { sizePx: chunks.IHDR?.readUInt32BE(0), rows: inflateSync(chunks.IDAT ?? Buffer.alloc(0)) };
}

test.each(ICONS)('$file is as it is drawn', ({ file, content, sizePx }) => {
  if (sizePx === undefined) expect(publicFile(file).toString()).toBe(content().toString());
  else {
    const [there, drawn] = [publicFile(file), content()].map(pictureOf);
    expect(there?.sizePx).toBe(sizePx);
    expect(drawn?.rows.equals(there?.rows ?? Buffer.alloc(0))).toBe(true);
  }
});

test('edges are smoothed by how much of a picture element they cover', () => {
  const half = [
    { kind: 'box', x: 0, y: 0, width: SIDE, height: SIDE, fill: '#000000' },
    { kind: 'box', x: 0, y: 0, width: SIDE * 0.75, height: SIDE, fill: '#ffffff' },
  ] as const;
  expect([...pixelsOf(half, 2)]).toEqual([255, 255, 255, 128, 128, 128, 255, 255, 255, 128, 128, 128]);
  expect(pictureOf(pngOf(pixelsOf(half, 2), 2)).rows).toHaveLength(2 * (1 + 6));
});

test('the icon that a system may cut keeps all that matters in its middle', () => {
  for (const shape of MASKABLE.slice(1)) {
    const corners =
      shape.kind === 'disc'
        ? [Math.hypot(shape.cx - SIDE / 2, shape.cy - SIDE / 2) + shape.r]
        : [0, shape.width].flatMap((w) => [0, shape.height].map((h) => Math.hypot(shape.x + w - SIDE / 2, shape.y + h - SIDE / 2)));
    expect(Math.max(...corners)).toBeLessThanOrEqual(0.4 * SIDE);
  }
});

test('the manifest names icons that are there, in their sizes, and pages that are served', () => {
  const manifest = JSON.parse(publicFile('postern.webmanifest').toString()) as {
    readonly start_url: string;
    readonly icons: readonly { readonly src: string; readonly sizes: string; readonly type: string }[];
    readonly shortcuts: readonly { readonly url: string }[];
  };
  expect(manifest.start_url).toBe('/');
  for (const { src, sizes, type } of manifest.icons) {
    const file = publicFile(src);
    if (type === 'image/png') expect(sizes).toBe(`${pictureOf(file).sizePx}x${pictureOf(file).sizePx}`);
  }
  for (const { url } of manifest.shortcuts) expect(PAGE_PATHS).toContain(url);
  const page = readFileSync(new URL('../../dashboards/index.html', import.meta.url), 'utf8');
  for (const [, file = ''] of page.matchAll(/href="(\/[^"]+)"/g)) expect(publicFile(file).length).toBeGreaterThan(0);
});
