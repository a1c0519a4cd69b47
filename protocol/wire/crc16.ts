const table = new Uint16Array(256);
for (let byte = 0; byte < 256; byte++) {
  let crc = byte << 8;
  for (let bit = 0; bit < 8; bit++) crc = crc & 0x8000 ? (crc << 1) ^ 0x1021 : crc << 1;
  table[byte] = crc;
}

/**
 * CRC-16/CCITT-FALSE: polynomial 0x1021, start 0xFFFF, neither reflected nor inverted.
 * @param text  printable ASCII; each character counts as one byte, and only its low 8 bits
 * @returns 0 to 0xFFFF
 * Source: RevEng CRC catalogue, CRC-16/IBM-3740 (alias CCITT-FALSE); check value of "123456789" is 0x29B1.
 */
export function crc16(text: string): number {
  let crc = 0xffff;
  for (let i = 0; i < text.length; i++) {
    crc = ((crc << 8) & 0xffff) ^ (table[(crc >> 8) ^ (text.charCodeAt(i) & 0xff)] as number);
  }
  return crc;
}
