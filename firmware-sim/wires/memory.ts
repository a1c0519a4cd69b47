/**
 * The line between board and host under a virtual clock: latency, jitter, USB frames, chunks cut anywhere, faults.
 * The process of its own uses it too, with the wall clock's time, in front of its pseudo-terminal.
 */
import type { TimedBytes } from '../boards/gate-board.ts';
import { type Random, randomStream } from '../world/random.ts';
import type { ByteFault } from './faults.ts';

/** What hangs on the far end: a board, or the whole range. */
export interface LineEnd {
  receive(bytes: Uint8Array, timeS: number): void;
  advanceTo(timeS: number): readonly TimedBytes[];
}

export interface MemoryLineOptions {
  readonly seed: number;
  /** Of its streams of chance, where a seed has several lines. */
  readonly name?: string;
  readonly end: LineEnd;
  readonly latencyS?: number;
  /** Mean of the exponential that is added to the latency. */
  readonly jitterS?: number;
  /** Deliveries happen at multiples of this; 0: at any time. */
  readonly frameS?: number;
  readonly fault?: ByteFault;
}

export interface MemoryLine {
  /** Host bytes, sent at this time (not before the last call's). */
  send(bytes: Uint8Array, timeS: number): void;
  /** @returns chunks that reach the host up to this time, in order */
  advanceTo(timeS: number): readonly TimedBytes[];
  /** While unplugged, bytes of both directions are lost, also those on their way. */
  setPlugged(plugged: boolean, timeS: number): void;
}

export function createMemoryLine(options: MemoryLineOptions): MemoryLine {
  const { end, name = 'line', latencyS = 0.001, jitterS = 0.0005, frameS = 0.001, fault } = options;
  const toHost = createDelay(randomStream(options.seed, `${name}/to-host`), { latencyS, jitterS, frameS });
  const toBoard = createDelay(randomStream(options.seed, `${name}/to-board`), { latencyS, jitterS, frameS });
  const chance = randomStream(options.seed, `${name}/faults`);
  let plugged = true;

  const collect = (timeS: number): void => {
    for (const chunk of end.advanceTo(timeS)) {
      const bytes = fault ? fault(chunk.bytes, chance) : chunk.bytes;
      if (plugged && bytes.length > 0) toHost.put({ timeS: chunk.timeS, bytes });
    }
  };

  const run = (timeS: number): void => {
    for (const chunk of toBoard.take(timeS)) {
      collect(chunk.timeS);
      end.receive(chunk.bytes, chunk.timeS);
    }
    collect(timeS);
  };

  return {
    send: (bytes, timeS) => {
      if (plugged && bytes.length > 0) toBoard.put({ timeS, bytes });
    },
    advanceTo: (timeS) => {
      run(timeS);
      return toHost.take(timeS);
    },
    setPlugged: (next, timeS) => {
      run(timeS);
      if (!next) {
        toHost.clear();
        toBoard.clear();
      }
      plugged = next;
    },
  };
}

interface Delay {
  put(chunk: TimedBytes): void;
  take(untilS: number): readonly TimedBytes[];
  clear(): void;
}

/** Keeps order; cuts each chunk in two at a place of chance, the second part one frame later now and then. */
function createDelay(random: Random, { latencyS, jitterS, frameS }: { latencyS: number; jitterS: number; frameS: number }): Delay {
  let onTheWay: TimedBytes[] = [];
  let lastS = 0;
  const arrival = (timeS: number): number => {
    const at = timeS + latencyS - jitterS * Math.log(1 - random.uniform());
    lastS = Math.max(lastS, frameS > 0 ? Math.ceil(at / frameS) * frameS : at);
    return lastS;
  };
  return {
    put: ({ timeS, bytes }) => {
      const cut = random.integer(bytes.length + 1);
      const firstS = arrival(timeS);
      if (cut > 0) onTheWay.push({ timeS: firstS, bytes: bytes.slice(0, cut) });
      if (cut === bytes.length) return;
      if (random.uniform() < 0.3) lastS += frameS;
      onTheWay.push({ timeS: lastS, bytes: bytes.slice(cut) });
    },
    take: (untilS) => {
      const count = onTheWay.findIndex(({ timeS }) => timeS > untilS);
      const taken = count < 0 ? onTheWay : onTheWay.slice(0, count);
      onTheWay = onTheWay.slice(taken.length);
      return taken;
    },
    clear: () => {
      onTheWay = [];
    },
  };
}
