/**
 * What the Firmata library takes for its port. The library's parser throws on malformed messages, in the middle of an
 * arrival; a port of its own would let that end the process. It also never bounds an unfinished message.
 *
 * One transport lives as long as its link; connections come and go beneath it.
 */
import { EventEmitter } from 'node:events';

/** The connection beneath, while there is one. */
export interface ByteSink {
  write(bytes: Uint8Array): boolean;
}

/** Of one unfinished message; the longest real one, the abilities of 128 pins, has about 2500. */
export const MESSAGE_BYTES_MAX = 4096;

const MESSAGE_END = 0xf7;

export class GuardedTransport extends EventEmitter {
  readonly #onFault: (detail: string) => void;
  #sink: ByteSink | undefined;

  constructor(onFault: (detail: string) => void) {
    super();
    this.#onFault = onFault;
    this.on('error', () => {});
  }

  attach(sink: ByteSink): void {
    this.#sink = sink;
    this.emit('open');
  }

  detach(): void {
    if (this.#sink === undefined) return;
    this.#sink = undefined;
    this.emit('close');
  }

  /** While down the bytes are dropped: what a host has to say then is out of date by the time the port is back. */
  write(bytes: Uint8Array, done?: (error?: Error | null) => void): boolean {
    this.#sink?.write(bytes);
    done?.(null);
    return true;
  }

  /**
   * Hands an arrival to the parser, message by message, so that one that it cannot read costs no other.
   * @param parserBuffer  the parser's own, emptied where it has thrown or outgrown its bound
   */
  receive(bytes: Uint8Array, parserBuffer: number[]): void {
    let from = 0;
    while (from < bytes.length) {
      const endAt = bytes.indexOf(MESSAGE_END, from);
      const to = endAt < 0 ? bytes.length : endAt + 1;
      for (; from < to; from += MESSAGE_BYTES_MAX) this.#parse(bytes.subarray(from, Math.min(to, from + MESSAGE_BYTES_MAX)), parserBuffer);
      from = to;
    }
  }

  #parse(bytes: Uint8Array, parserBuffer: number[]): void {
    try {
      this.emit('data', bytes);
    } catch (error) {
      parserBuffer.length = 0;
      this.#onFault(error instanceof Error ? error.message : String(error));
    }
    if (parserBuffer.length <= MESSAGE_BYTES_MAX) return;
    parserBuffer.length = 0;
    this.#onFault(`a message without an end, longer than ${MESSAGE_BYTES_MAX} bytes`);
  }
}
