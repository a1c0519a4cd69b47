/** What came over a wire, made fit for a screen and a file: bounded, and nothing in it can act on a terminal. */

/** Of what is shown, the ellipsis included. */
export const SHOWN_MAX = 80;

/** Controls, and the invisible characters that turn or join text: categories Cc, Cf, Zl, Zp, Cs and Co of Unicode. */
const UNSHOWABLE = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}\p{Co}]/u;

/** @returns at most SHOWN_MAX characters: UTF-8 where the bytes are that, else each byte beyond ASCII as \xNN */
export function shownText(bytes: Uint8Array): string {
  // Of more bytes than this none could be shown.
  const head = bytes.subarray(0, 4 * SHOWN_MAX);
  const text =
    utf8(head, head.length < bytes.length) ?? Array.from(head, (byte) => (byte < 0x80 ? String.fromCharCode(byte) : hex(byte))).join('');
  const shown: string[] = [];
  let length = 0;
  for (const character of text) {
    const piece = UNSHOWABLE.test(character) ? escaped(character) : character;
    shown.push(piece);
    length += piece.length;
    if (length > SHOWN_MAX) break;
  }
  if (length <= SHOWN_MAX && head.length === bytes.length) return shown.join('');
  while (length > SHOWN_MAX - 1) length -= shown.pop()?.length ?? length;
  return `${shown.join('')}…`;
}

/** @param stream  the bytes may end within a character. @returns undefined where they are not UTF-8 */
export function utf8(bytes: Uint8Array, stream = false): string | undefined {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes, { stream });
  } catch {
    return undefined;
  }
}

const hex = (byte: number): string => `\\x${byte.toString(16).toUpperCase().padStart(2, '0')}`;

function escaped(character: string): string {
  const code = character.codePointAt(0) ?? 0;
  return code < 0x100 ? hex(code) : `\\u{${code.toString(16).toUpperCase()}}`;
}
