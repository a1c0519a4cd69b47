/** A program as it is flashed: lines of `:`, length, address, kind, bytes and checksum, all hexadecimal. */
const DATA = 0;
const END = 1;
const SEGMENT = 2;
const LINEAR = 4;

/**
 * @returns flash as words from address 0
 * @throws Error naming the line that does not hold
 */
export function readIntelHex(text: string, flashBytes = 0x4_0000): Uint16Array {
  const flash = new Uint8Array(flashBytes).fill(0xff);
  let offset = 0;
  let endAt = 0;
  for (const [i, line] of text.split(/\r?\n/).entries()) {
    if (line === '') continue;
    const bytes = /^:([0-9A-Fa-f]{2}){5,}$/.test(line) ? Buffer.from(line.slice(1), 'hex') : Buffer.alloc(0);
    const [length = -1, high = 0, low = 0, kind] = bytes;
    const data = bytes.subarray(4, -1);
    if (data.length !== length) throw new Error(`line ${i + 1}: not a line of Intel hexadecimal`);
    if (bytes.reduce((sum, byte) => sum + byte, 0) % 256 !== 0) throw new Error(`line ${i + 1}: its checksum does not hold`);
    if (kind === END) return new Uint16Array(flash.buffer, 0, Math.ceil(endAt / 2));
    if (kind === SEGMENT) offset = data.readUInt16BE() * 16;
    else if (kind === LINEAR) offset = data.readUInt16BE() * 0x1_0000;
    else if (kind === DATA) {
      const at = offset + high * 256 + low;
      if (at + length > flashBytes) throw new Error(`line ${i + 1}: address ${at} lies beyond a flash of ${flashBytes} bytes`);
      flash.set(data, at);
      endAt = Math.max(endAt, at + length);
    }
  }
  throw new Error('the file has no end line: it was cut off');
}
