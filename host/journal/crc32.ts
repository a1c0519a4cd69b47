/** CRC-32 of ISO-HDLC (polynomial 0xEDB88320 reflected), as MCAP, zip and zlib use it. Check value: "123456789" gives 0xCBF43926. */
import zlib from 'node:zlib';

/** Continues `previous`, the CRC of the bytes before these; 0 where there are none. */
export type Crc32 = (bytes: Uint8Array, previous?: number) => number;

const TABLE = Uint32Array.from({ length: 256 }, (_, index) => {
  let value = index;
  for (let bit = 0; bit < 8; bit += 1) value = value & 1 ? (value >>> 1) ^ 0xedb8_8320 : value >>> 1;
  return value;
});

export function tableCrc32(bytes: Uint8Array, previous = 0): number {
  let crc = ~previous;
  for (const byte of bytes) crc = (crc >>> 8) ^ (TABLE[(crc ^ byte) & 0xff] as number);
  return ~crc >>> 0;
}

/** Node has a native one since 20.15; it is several times faster, and ours gives the same before that. */
export const crc32: Crc32 = typeof zlib.crc32 === 'function' ? zlib.crc32 : tableCrc32;
