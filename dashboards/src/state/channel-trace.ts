/** The recent past of one channel, fine for the last minute and coarse for ten, and its present number. */
import type { Envelope } from '../../../protocol/index.ts';
import { BinRing, type Drawn } from './bin-ring.ts';

const FINE_NS = 50_000_000;
const COARSE_NS = 500_000_000;
/** A little more than the longest window that each serves. */
const FINE_BINS = 1_300;
const COARSE_BINS = 1_220;
export const FINE_WINDOW_S = 60;

export interface Present {
  readonly si: number;
  /** End of the newest bin with a sample, ns of the session. */
  readonly atNs: number;
}

export class ChannelTrace {
  readonly #fine = new BinRing({ binNs: FINE_NS, count: FINE_BINS });
  readonly #coarse = new BinRing({ binNs: COARSE_NS, count: COARSE_BINS });

  add(envelope: Envelope): void {
    envelope.min.forEach((min, index) => {
      const max = envelope.max[index] ?? null;
      if (min === null || max === null) return;
      const startNs = envelope.fromNs + index * envelope.binNs;
      if (envelope.binNs === FINE_NS) this.#fine.widen(Math.round(startNs / FINE_NS), min, max);
      this.#coarse.widen(Math.floor((startNs + 1) / COARSE_NS), min, max);
    });
  }

  /** @param windowS  length of the window that ends now, s */
  read(nowNs: number, windowS: number): Drawn {
    const ring = windowS <= FINE_WINDOW_S ? this.#fine : this.#coarse;
    return ring.read(nowNs - windowS * 1e9 - 2 * ring.binNs);
  }
}

/** @returns the present number after that envelope; an older stretch, fetched late, does not make it older */
export function presentAfter(present: Present | undefined, envelope: Envelope): Present | undefined {
  const newest = envelope.max.findLastIndex((max) => max !== null);
  if (envelope.lastSi === null || newest < 0) return present;
  const endNs = envelope.fromNs + (newest + 1) * envelope.binNs;
  return { si: envelope.lastSi, atNs: Math.max(endNs, present?.atNs ?? 0) };
}
