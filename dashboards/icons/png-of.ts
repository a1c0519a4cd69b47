/** Picture elements as a PNG file (W3C, PNG Specification, third edition): eight bits a colour, no alpha, no filter. */
import { crc32, deflateSync } from 'node:zlib';

const SIGNATURE = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
const TRUECOLOUR = 2;

/** @param pixels  red, green and blue, row by row  @param sizePx  of the square */
export function pngOf(pixels: Uint8Array, sizePx: number): Buffer {
  const header = Buffer.alloc(13);
  header.writeUInt32BE(sizePx, 0);
  header.writeUInt32BE(sizePx, 4);
  header.set([8, TRUECOLOUR, 0, 0, 0], 8);
  const rows = Buffer.alloc(sizePx * (3 * sizePx + 1));
  for (let y = 0; y < sizePx; y += 1) rows.set(pixels.subarray(3 * y * sizePx, 3 * (y + 1) * sizePx), y * (3 * sizePx + 1) + 1);
  return Buffer.concat([SIGNATURE, chunk('IHDR', header), chunk('IDAT', deflateSync(rows, { level: 9 })), chunk('IEND', Buffer.alloc(0))]);
}

function chunk(type: string, data: Buffer): Buffer {
  const body = Buffer.concat([Buffer.from(type, 'latin1'), data]);
  const length = Buffer.alloc(4);
  length.writeUInt32BE(data.length);
  const check = Buffer.alloc(4);
  check.writeUInt32BE(crc32(body));
  return Buffer.concat([length, body, check]);
}
