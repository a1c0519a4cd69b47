/** Looks at a file of any size through one buffer. */
import fs from 'node:fs';

const WINDOW_BYTES = 1024 * 1024;

export class ByteWindow {
  readonly size: number;
  readonly #fd: number;
  #buffer = Buffer.allocUnsafe(WINDOW_BYTES);
  #from = 0;
  #length = 0;

  constructor(fd: number) {
    this.#fd = fd;
    this.size = fs.fstatSync(fd).size;
  }

  /**
   * @param length  bytes wanted; the buffer grows to the largest ever asked for
   * @returns the bytes, borrowed until the next call; undefined where the file ends before
   */
  at(offset: number, length: number): Buffer | undefined {
    if (offset + length > this.size) return undefined;
    if (offset < this.#from || offset + length > this.#from + this.#length) this.#load(offset, length);
    if (offset + length > this.#from + this.#length) return undefined;
    return this.#buffer.subarray(offset - this.#from, offset - this.#from + length);
  }

  /** As many bytes as are at hand from there on: none only at the end of the file. Borrowed. */
  from(offset: number): Buffer {
    if (this.at(offset, 1) === undefined) return Buffer.alloc(0);
    return this.#buffer.subarray(offset - this.#from, this.#length);
  }

  #load(offset: number, length: number): void {
    if (length > this.#buffer.length) this.#buffer = Buffer.allocUnsafe(length);
    this.#from = offset;
    this.#length = 0;
    while (this.#length < this.#buffer.length) {
      const got = fs.readSync(this.#fd, this.#buffer, this.#length, this.#buffer.length - this.#length, offset + this.#length);
      if (got === 0) return;
      this.#length += got;
    }
  }
}
