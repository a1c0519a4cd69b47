/** Bytes of a port to lines, through the length guard and the serial library's line parser. */
import { Buffer } from 'node:buffer';
import { once } from 'node:events';
import { type Readable, Transform, type TransformCallback } from 'node:stream';
import { ReadlineParser } from '@serialport/parser-readline';
import { CONTINUED, LengthGuard } from './length-guard.ts';

/**
 * lf: a line feed, and a carriage return before it belongs to the line; what stood at the end without one is a line.
 * any: line feed, carriage return, or both; text has no checksum, so what stood at the end without one gets a CONTINUED
 * before it, or a number that was cut would pass for a whole one.
 */
export type LineEnding = 'lf' | 'any';

export class LineSplitter {
  readonly #entry: Transform;
  // latin1 maps each byte value to one character and back. Lines as objects, so that no two are ever joined.
  readonly #parser: ReadlineParser;

  /**
   * @param onLine  gets each line, at most PIECE_BYTES_MAX bytes and a CONTINUED before them, without its ending, as its own copy.
   *   Empty lines are passed over: they say nothing, and a stuck line feed would fill the disk.
   */
  constructor(source: Readable, onLine: (bytes: Uint8Array) => void, ending: LineEnding = 'lf') {
    this.#parser = new (ending === 'lf' ? ReadlineParser : TornMarker)({ delimiter: '\n', encoding: 'latin1', readableObjectMode: true });
    this.#parser.on('data', (text: string) => {
      if (text.length > 0) onLine(new Uint8Array(Buffer.from(text, 'latin1')));
    });
    const guard = new LengthGuard();
    this.#entry = ending === 'lf' ? guard : returnsToLineFeeds();
    source.pipe(this.#entry);
    if (this.#entry !== guard) this.#entry.pipe(guard);
    guard.pipe(this.#parser);
  }

  /** Hands over what stood before the end without a line feed, then lets go of the source. */
  async finish(source: Readable): Promise<void> {
    source.unpipe(this.#entry);
    if (this.#parser.readableEnded) return;
    const ended = once(this.#parser, 'end');
    this.#entry.end();
    await ended;
  }
}

class TornMarker extends ReadlineParser {
  override _flush(done: TransformCallback): void {
    if (this.buffer.length > 0) this.buffer = Buffer.concat([Buffer.of(CONTINUED), this.buffer]);
    super._flush(done);
  }
}

/** With empty lines passed over, both of CR LF may end a line each. */
function returnsToLineFeeds(): Transform {
  return new Transform({
    transform: (chunk: Buffer, _encoding, done) => done(null, Buffer.from(chunk.map((byte) => (byte === 0x0d ? 0x0a : byte)))),
  });
}
