/**
 * The frame: one printable ASCII line, `KIND SEQ FIELD FIELD…*CRC`, ended by a line feed.
 * This file knows lines, not what they say; messages.ts knows what they say.
 */
import { crc16 } from './crc16.ts';
import { WIRE } from './limits.ts';

export interface Frame {
  readonly kind: string;
  /** Sender's running number of this frame, 0 to 0xFFFFFFFF. */
  readonly seq: number;
  readonly fields: readonly string[];
}

export type WireFaultCode = 'line-too-long' | 'not-ascii' | 'no-crc' | 'crc-mismatch' | 'malformed' | 'unknown-kind' | 'bad-field';

/** A line that is no valid frame: kept, counted, never thrown. */
export interface WireFault {
  readonly code: WireFaultCode;
  /** Which part of the line: `line`, `crc`, `kind`, `seq`, or a field's name. */
  readonly place: string;
  readonly found: string;
  readonly expected: string;
  /**
   * The frame's number where CRC and grammar hold and only the content is not understood (`unknown-kind`,
   * `bad-field`). Such a frame did arrive: asked for again, it would come again byte for byte.
   */
  readonly seq?: number;
}

export type Decoded<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly fault: WireFault };

// No two parts can take the same character, so matching is linear in the line's length.
const FRAME = /^([A-Z]{2,8}) ([0-9A-F]{8})((?: [!-)+-~]+)*)$/;
const CRC_SUFFIX = /^[0-9A-F]{4}$/;
const EXCERPT_CHARS_MAX = 80;

/** @param found  what stood there; cut to 80 characters, what is not printable ASCII shown as `?` */
export function wireFault(
  code: WireFaultCode,
  place: string,
  found: string,
  expected: string,
  seq?: number,
): { ok: false; fault: WireFault } {
  const cut = found.length > EXCERPT_CHARS_MAX ? '…' : '';
  const shown = found.slice(0, EXCERPT_CHARS_MAX).replace(/[^ -~]/g, '?') + cut;
  return { ok: false, fault: { code, place, found: shown, expected, ...(seq === undefined ? {} : { seq }) } };
}

/** @returns upper-case hexadecimal, filled with zeros from the left to that many digits; longer where the value needs it */
export const hex = (value: number, digits: number): string => value.toString(16).toUpperCase().padStart(digits, '0');

/**
 * @returns the line without its line feed
 * @throws RangeError where the frame could not be a valid line (caller's bug)
 */
export function encodeFrame(frame: Frame): string {
  const body = [frame.kind, hex(frame.seq, 8), ...frame.fields].join(' ');
  if (!FRAME.test(body)) throw new RangeError(`not a frame: ${body}`);
  const line = `${body}*${hex(crc16(body), 4)}`;
  if (line.length + 1 > WIRE.lineBytesMax) throw new RangeError(`frame of ${line.length + 1} bytes, at most ${WIRE.lineBytesMax}`);
  return line;
}

/**
 * Never throws, whatever came.
 * @param line  what came between two line feeds, one character a byte (Latin-1, not UTF-8: a byte above 0x7F must
 *   stay visible); one carriage return at its end is dropped
 */
export function decodeFrame(line: string): Decoded<Frame> {
  const text = line.endsWith('\r') ? line.slice(0, -1) : line;
  // First, so that no later step walks through a line of any length.
  if (text.length + 1 > WIRE.lineBytesMax) {
    return wireFault('line-too-long', 'line', `${text.length} characters`, `at most ${WIRE.lineBytesMax - 1}`);
  }
  if (!/^[ -~]*$/.test(text)) return wireFault('not-ascii', 'line', text, 'printable ASCII');
  const star = text.lastIndexOf('*');
  if (star < 0 || !CRC_SUFFIX.test(text.slice(star + 1))) return wireFault('no-crc', 'crc', text.slice(-8), '* and 4 hexadecimal digits');
  const body = text.slice(0, star);
  const crc = crc16(body);
  if (Number.parseInt(text.slice(star + 1), 16) !== crc) return wireFault('crc-mismatch', 'crc', text.slice(star + 1), hex(crc, 4));
  const match = FRAME.exec(body);
  if (!match) return wireFault('malformed', 'line', body, 'KIND SEQ FIELD…');
  const [, kind, seq, rest] = match as unknown as [string, string, string, string];
  return { ok: true, value: { kind, seq: Number.parseInt(seq, 16), fields: rest === '' ? [] : rest.slice(1).split(' ') } };
}
