/** A board that hangs: half-way through what it was saying, and for good. */
import type { LineEnd } from '../wires/memory.ts';

/** @param fromS  range time from which it hears nothing; the message that would leave next is cut in half and is its last */
export function fallsSilent(board: LineEnd, fromS: number): LineEnd {
  let isHung = false;
  return {
    receive: (bytes, timeS) => {
      if (timeS < fromS) board.receive(bytes, timeS);
    },
    advanceTo: (timeS) => {
      if (isHung) return [];
      const gone = board.advanceTo(timeS);
      const sound = gone.filter((chunk) => chunk.timeS < fromS);
      const last = gone[sound.length];
      if (!last) return sound;
      isHung = true;
      return [...sound, { ...last, bytes: last.bytes.slice(0, last.bytes.length >> 1) }];
    },
  };
}
