/**
 * Bounds a line before the line splitter sees it. A device that never sends a line feed would otherwise make the
 * splitter keep, and copy again with each chunk, everything that ever came.
 *
 * A line longer than PIECE_BYTES_MAX is cut after every PIECE_BYTES_MAX bytes by a line feed and CONTINUED put in
 * between; no byte is taken away. CONTINUED is no printable ASCII, so that the last piece of an overlong line can never
 * pass for a line of its own, whatever it says, and a journal shows which pieces belong together.
 * Where the chunks are cut never matters. Holds one number, no bytes.
 */
import { Transform, type TransformCallback } from 'node:stream';

/** Twice the longest valid frame. */
export const PIECE_BYTES_MAX = 1024;
/** First byte of every piece of an overlong line but its first, and of a line of text that was cut off at its end. */
export const CONTINUED = 0x80;

const LINE_FEED = 0x0a;
const CUT = Buffer.of(LINE_FEED, CONTINUED);

export class LengthGuard extends Transform {
  #lineBytes = 0;

  override _transform(chunk: Buffer, _encoding: BufferEncoding, done: TransformCallback): void {
    let from = 0;
    while (from < chunk.length) {
      if (this.#lineBytes === PIECE_BYTES_MAX) {
        // Only now is it known whether the line goes on; one of exactly this length needs no cut.
        if (chunk[from] !== LINE_FEED) this.push(CUT);
        this.#lineBytes = 0;
      }
      const lineFeedAt = chunk.indexOf(LINE_FEED, from);
      const lineEnd = lineFeedAt < 0 ? chunk.length : lineFeedAt + 1;
      const end = Math.min(lineEnd, from + PIECE_BYTES_MAX - this.#lineBytes);
      const endsLine = end === lineFeedAt + 1;
      this.push(chunk.subarray(from, end));
      this.#lineBytes = endsLine ? 0 : this.#lineBytes + (end - from);
      from = end;
    }
    done();
  }
}
