/** Host bytes to lines, in bounded memory: a line longer than the wire allows is dropped up to its line feed. */
export interface LineReader {
  /** @returns the lines completed by these bytes, without line feeds; undefined stands for one that was too long */
  push(bytes: Uint8Array): readonly (string | undefined)[];
}

/** @param bytesMax  of a line with its line feed */
export function createLineReader(bytesMax: number): LineReader {
  let text = '';
  let dropping = false;
  return {
    push: (bytes) => {
      const lines: (string | undefined)[] = [];
      for (const byte of bytes) {
        if (byte === 0x0a) {
          lines.push(dropping ? undefined : text);
          text = '';
          dropping = false;
        } else if (!dropping) {
          // One byte, one character: what is not ASCII is refused by the frame check.
          text += String.fromCharCode(byte);
          if (text.length + 1 > bytesMax) {
            text = '';
            dropping = true;
          }
        }
      }
      return lines;
    },
  };
}
