/** What the board can send again: each edge until it is acknowledged, and the most recent of the other frames. */
export interface HeldFrames {
  readonly edgeCount: number;
  holdEdge(seq: number, line: string): void;
  /**
   * Keeps any other frame. The oldest that is not wanted makes room; where all are wanted, this one is not kept.
   * @param isWanted  a waiting RESEND has asked for this number and has not been served with it yet
   */
  holdOther(seq: number, line: string, isWanted: (seq: number) => boolean): void;
  get(seq: number): string | undefined;
  /** Numbers of the edges held in a range, both ends included, ascending. */
  edgesIn(fromSeq: number, toSeq: number): readonly number[];
  /** Lets go of every edge up to and including this number. */
  acknowledge(upToSeq: number): void;
  /** Lowest number still held. */
  oldest(): number | undefined;
}

/** @param othersMax  frames other than edges kept. Edges are bounded by the board's edge memory. */
export function createHeldFrames(othersMax: number): HeldFrames {
  // Numbers are given in ascending order, so each map is in that order too.
  const edges = new Map<number, string>();
  const others = new Map<number, string>();
  const first = (map: ReadonlyMap<number, string>): number => map.keys().next().value ?? Number.POSITIVE_INFINITY;
  const oldestUnwanted = (isWanted: (seq: number) => boolean): number | undefined => {
    for (const seq of others.keys()) if (!isWanted(seq)) return seq;
    return undefined;
  };
  return {
    get edgeCount() {
      return edges.size;
    },
    holdEdge: (seq, line) => void edges.set(seq, line),
    holdOther: (seq, line, isWanted) => {
      if (others.size >= othersMax) {
        const evicted = oldestUnwanted(isWanted);
        if (evicted === undefined) return;
        others.delete(evicted);
      }
      others.set(seq, line);
    },
    get: (seq) => edges.get(seq) ?? others.get(seq),
    edgesIn: (fromSeq, toSeq) => [...edges.keys()].filter((seq) => seq >= fromSeq && seq <= toSeq),
    acknowledge: (upToSeq) => {
      for (const seq of [...edges.keys()]) if (seq <= upToSeq) edges.delete(seq);
    },
    oldest: () => {
      const lowest = Math.min(first(edges), first(others));
      return Number.isFinite(lowest) ? lowest : undefined;
    },
  };
}
