/**
 * Ranges of frame numbers that the host has asked for again, answered one frame at a time so that new edges can pass
 * between. A resent edge is an edge: those of all waiting ranges come first, whatever else was asked for before them.
 */
import type { HeldFrames } from './held-frames.ts';

/** Inclusive run of numbers. */
export interface SeqRun {
  readonly fromSeq: number;
  readonly toSeq: number;
}

/** A held line as it was, or the run of numbers that is no longer held. */
export type ResendAnswer = string | SeqRun;

export interface ResendQueue {
  /** An empty range is nothing; one too many is ignored, as the host asks again. */
  add(range: SeqRun, held: HeldFrames): void;
  /** Asked for and not served yet: such a frame is not to be dropped to make room. */
  isWanted(seq: number): boolean;
  readonly waiting: boolean;
  nextEdge(held: HeldFrames): ResendAnswer | undefined;
  nextOther(held: HeldFrames): ResendAnswer | undefined;
}

interface Request {
  readonly edges: readonly number[];
  /** The rest of the range, ascending. */
  readonly others: readonly SeqRun[];
}

/** @param requestsMax  waiting at a time; each has at most 256 numbers */
export function createResendQueue(requestsMax: number): ResendQueue {
  let requests: readonly Request[] = [];
  /** Puts what is left of a request back in its place, or takes it out where nothing is left. */
  const replace = (old: Request, left: Request): void => {
    const isDone = left.edges.length === 0 && left.others.length === 0;
    requests = requests.flatMap((request) => (request !== old ? [request] : isDone ? [] : [left]));
  };
  return {
    add: (range, held) => {
      if (range.fromSeq > range.toSeq || requests.length >= requestsMax) return;
      const edges = held.edgesIn(range.fromSeq, range.toSeq);
      requests = [...requests, { edges, others: runsBetween(range, edges) }];
    },
    isWanted: (seq) => requests.some(({ others }) => others.some(({ fromSeq, toSeq }) => seq >= fromSeq && seq <= toSeq)),
    get waiting() {
      return requests.length > 0;
    },
    nextEdge: (held) => {
      const request = requests.find(({ edges }) => edges.length > 0);
      const seq = request?.edges[0];
      if (!request || seq === undefined) return undefined;
      replace(request, { ...request, edges: request.edges.slice(1) });
      // Acknowledged while it waited: it may be gone by now.
      return held.get(seq) ?? { fromSeq: seq, toSeq: seq };
    },
    nextOther: (held) => {
      const request = requests.find(({ others }) => others.length > 0);
      const run = request?.others[0];
      if (!request || !run) return undefined;
      const line = held.get(run.fromSeq);
      let endSeq = run.fromSeq;
      if (line === undefined) while (endSeq < run.toSeq && held.get(endSeq + 1) === undefined) endSeq += 1;
      const left = endSeq < run.toSeq ? [{ fromSeq: endSeq + 1, toSeq: run.toSeq }] : [];
      replace(request, { ...request, others: [...left, ...request.others.slice(1)] });
      return line ?? { fromSeq: run.fromSeq, toSeq: endSeq };
    },
  };
}

/** A range without some numbers of it. @param out  ascending, all within the range */
function runsBetween({ fromSeq, toSeq }: SeqRun, out: readonly number[]): readonly SeqRun[] {
  const starts = [fromSeq, ...out.map((seq) => seq + 1)];
  const ends = [...out.map((seq) => seq - 1), toSeq];
  return starts.map((start, i) => ({ fromSeq: start, toSeq: ends[i] ?? toSeq })).filter((run) => run.fromSeq <= run.toSeq);
}
