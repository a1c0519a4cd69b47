/** Ranges of frame numbers that the host has asked for again, answered one frame at a time so that edges can pass between. */
import type { HeldFrames } from './held-frames.ts';

export interface ResendQueue {
  readonly waiting: boolean;
  /** An empty range is nothing; one too many is ignored, as the host asks again. */
  add(fromSeq: number, toSeq: number): void;
  /** @returns the next held line as it was, or the run of numbers that is no longer held, or undefined: nothing waits */
  next(held: HeldFrames): string | { readonly fromSeq: number; readonly toSeq: number } | undefined;
}

export function createResendQueue(rangesMax: number): ResendQueue {
  let ranges: readonly { readonly fromSeq: number; readonly toSeq: number }[] = [];
  return {
    get waiting() {
      return ranges.length > 0;
    },
    add: (fromSeq, toSeq) => {
      if (fromSeq <= toSeq && ranges.length < rangesMax) ranges = [...ranges, { fromSeq, toSeq }];
    },
    next: (held) => {
      const [range] = ranges;
      if (!range) return undefined;
      const line = held.get(range.fromSeq);
      let endSeq = range.fromSeq;
      if (line === undefined) while (endSeq < range.toSeq && held.get(endSeq + 1) === undefined) endSeq += 1;
      ranges = [...(endSeq < range.toSeq ? [{ fromSeq: endSeq + 1, toSeq: range.toSeq }] : []), ...ranges.slice(1)];
      return line ?? { fromSeq: range.fromSeq, toSeq: endSeq };
    },
  };
}
