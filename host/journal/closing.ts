/** The end of a journal that was closed: everything from the end-of-data record on. */
import type { ByteWindow } from './byte-window.ts';
import { crc32 } from './crc32.ts';
import { DATA_END_BYTES, FOOTER_BYTES, MAGIC_BYTES, OPCODE, RECORD_HEAD_BYTES } from './layout.ts';

/** A summary has one record a channel; a larger one is not believed. */
const SUMMARY_BYTES_MAX = 32 * 1024 * 1024;
const MAGIC = Buffer.of(0x89, 0x4d, 0x43, 0x41, 0x50, 0x30, 0x0d, 0x0a);

/** @returns the offset of the end-of-data record, where the file ends in a summary whose checksum holds */
export function soundClosingAt(window: ByteWindow): number | undefined {
  const footerAt = window.size - MAGIC_BYTES - FOOTER_BYTES;
  if (footerAt < 0) return undefined;
  const tail = window.at(footerAt, FOOTER_BYTES + MAGIC_BYTES);
  if (tail === undefined || tail[0] !== OPCODE.footer || !tail.subarray(FOOTER_BYTES).equals(MAGIC)) return undefined;
  const summaryStart = Number(tail.readBigUInt64LE(RECORD_HEAD_BYTES));
  const summaryCrc = tail.readUInt32LE(FOOTER_BYTES - 4);
  const checkedBytes = footerAt + FOOTER_BYTES - 4 - summaryStart;
  if (summaryStart < DATA_END_BYTES || summaryStart > footerAt || checkedBytes > SUMMARY_BYTES_MAX) return undefined;
  const checked = window.at(summaryStart, checkedBytes);
  return checked !== undefined && crc32(checked) === summaryCrc ? summaryStart - DATA_END_BYTES : undefined;
}
