/**
 * The envelopes of a whole recorded session, so that a page can be shown any moment of it with the ten minutes before.
 * Filled once, as the session is read; bounded in memory.
 */
import type { SamplesEvent } from '../../protocol/index.ts';
import { BIN_NS, EnvelopeHistory, type NewestBin } from './envelope-history.ts';

/** One minute a piece. */
const PIECE_BINS = 1_200;
/** 256 MiB: four hours of a channel take 4.6 MB. Beyond it no further minute is kept, and a trace there begins at the moment gone to. */
const PIECES_MAX = Math.floor((256 * 1024 * 1024) / (2 * 8 * PIECE_BINS));

interface Piece {
  readonly min: Float64Array;
  readonly max: Float64Array;
}

export class EnvelopeArchive {
  readonly #channels = new Map<string, Map<number, Piece>>();
  readonly #piecesMax: number;
  #pieces = 0;

  /** @param piecesMax  minutes of all channels together */
  constructor(piecesMax = PIECES_MAX) {
    this.#piecesMax = piecesMax;
  }

  add({ channel, fromNs, periodNs, valuesSi }: Pick<SamplesEvent, 'channel' | 'fromNs' | 'periodNs' | 'valuesSi'>): void {
    const pieces = this.#piecesOf(channel);
    for (const [index, value] of valuesSi.entries()) {
      const bin = Math.floor((fromNs + index * periodNs) / BIN_NS);
      if (!Number.isFinite(value) || bin < 0) continue;
      const piece = this.#pieceOf(pieces, Math.floor(bin / PIECE_BINS));
      if (!piece) continue;
      const slot = bin % PIECE_BINS;
      if (!((piece.min[slot] ?? Number.NaN) <= value)) piece.min[slot] = value;
      if (!((piece.max[slot] ?? Number.NaN) >= value)) piece.max[slot] = value;
    }
  }

  /**
   * What the feed would hold of a channel at a moment.
   * @param newest  its newest bin then: that one was not yet full
   */
  historyAt(channel: string, newest: NewestBin): EnvelopeHistory {
    const pieces = this.#channels.get(channel);
    return EnvelopeHistory.upTo(channel, newest, (bin) => {
      const piece = pieces?.get(Math.floor(bin / PIECE_BINS));
      const slot = bin % PIECE_BINS;
      return [piece?.min[slot] ?? Number.NaN, piece?.max[slot] ?? Number.NaN];
    });
  }

  #piecesOf(channel: string): Map<number, Piece> {
    const known = this.#channels.get(channel);
    if (known) return known;
    const made = new Map<number, Piece>();
    this.#channels.set(channel, made);
    return made;
  }

  #pieceOf(pieces: Map<number, Piece>, number: number): Piece | undefined {
    const known = pieces.get(number);
    if (known || this.#pieces >= this.#piecesMax) return known;
    const made = { min: new Float64Array(PIECE_BINS).fill(Number.NaN), max: new Float64Array(PIECE_BINS).fill(Number.NaN) };
    pieces.set(number, made);
    this.#pieces += 1;
    return made;
  }
}
