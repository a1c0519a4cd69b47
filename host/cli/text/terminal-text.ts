/**
 * Texts of boards, rig files and notes on the operator's terminal: shown, never obeyed. A terminal takes control
 * characters for orders (clear the screen, write elsewhere, answer as if typed), and marks of direction make a line read
 * as what it is not.
 */

/** Cc, Cf (direction, joining, invisible), Zl, Zp, Cs, Co of Unicode: nothing of it is seen as what it is. */
const UNSHOWABLE = /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}\p{Cs}\p{Co}]/gu;

/** @returns the same on one line, with what cannot be shown written out: `\x1B`, `\u{202E}` */
export function terminalText(text: string): string {
  return text.replace(UNSHOWABLE, (character) => {
    const code = character.codePointAt(0) ?? 0;
    const digits = code.toString(16).toUpperCase();
    return code < 0x100 ? `\\x${digits.padStart(2, '0')}` : `\\u{${digits}}`;
  });
}

/** @param json  as JSON.stringify writes it. @returns the same value: its own escapes in place of what a terminal would take for orders */
export function terminalJson(json: string): string {
  // Line feeds between the values are JSON.stringify's own; those in texts it has written as \n.
  return json.replace(UNSHOWABLE, (character) =>
    character === '\n' ? character : Array.from({ length: character.length }, (_, i) => escaped(character.charCodeAt(i))).join(''),
  );
}

const escaped = (unit: number): string => `\\u${unit.toString(16).padStart(4, '0')}`;
