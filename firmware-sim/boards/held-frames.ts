/** What the board can send again: each edge until it is acknowledged, and the most recent of the other frames. */
export interface HeldFrames {
  readonly edgeCount: number;
  hold(seq: number, line: string, isEdge: boolean): void;
  get(seq: number): string | undefined;
  /** Lets go of every edge up to and including this number. */
  acknowledge(upToSeq: number): void;
  /** Lowest number still held. */
  oldest(): number | undefined;
}

/** @param othersMax  frames other than edges kept; the oldest makes room. Edges are bounded by the board's edge memory. */
export function createHeldFrames(othersMax: number): HeldFrames {
  const edges = new Map<number, string>();
  const others = new Map<number, string>();
  const first = (map: ReadonlyMap<number, string>): number => map.keys().next().value ?? Number.POSITIVE_INFINITY;
  return {
    get edgeCount() {
      return edges.size;
    },
    hold: (seq, line, isEdge) => {
      (isEdge ? edges : others).set(seq, line);
      if (others.size > othersMax) others.delete(first(others));
    },
    get: (seq) => edges.get(seq) ?? others.get(seq),
    acknowledge: (upToSeq) => {
      for (const seq of [...edges.keys()]) if (seq <= upToSeq) edges.delete(seq);
    },
    oldest: () => {
      const lowest = Math.min(first(edges), first(others));
      return Number.isFinite(lowest) ? lowest : undefined;
    },
  };
}
