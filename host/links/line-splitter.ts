/** Bytes of a port to lines, through the length guard and the serial library's line parser. */
import { Buffer } from 'node:buffer';
import { once } from 'node:events';
import type { Readable } from 'node:stream';
import { ReadlineParser } from '@serialport/parser-readline';
import { LengthGuard } from './length-guard.ts';

export class LineSplitter {
  readonly #guard = new LengthGuard();
  // latin1 maps each byte value to one character and back. Lines as objects, so that no two are ever joined.
  readonly #parser = new ReadlineParser({ delimiter: '\n', encoding: 'latin1', readableObjectMode: true });

  /**
   * @param onLine  gets each line, at most PIECE_BYTES_MAX bytes and a CONTINUED before them, without its line feed, as its own copy.
   *   Empty lines are passed over: they say nothing, and a stuck line feed would fill the disk.
   */
  constructor(source: Readable, onLine: (bytes: Uint8Array) => void) {
    this.#parser.on('data', (text: string) => {
      if (text.length > 0) onLine(Uint8Array.from(Buffer.from(text, 'latin1')));
    });
    source.pipe(this.#guard).pipe(this.#parser);
  }

  /** Hands over what stood before the end without a line feed, then lets go of the source. */
  async finish(source: Readable): Promise<void> {
    source.unpipe(this.#guard);
    if (this.#parser.readableEnded) return;
    const ended = once(this.#parser, 'end');
    this.#guard.end();
    await ended;
  }
}
