/**
 * Single reads and writes on the board's two-wire bus. Firmata answers a failed read with a text, or with too few bytes,
 * or with those of another device, or not at all; here each of these is the same: no answer.
 */
import type { Firmata } from 'firmata-io';
import type { Board } from 'johnny-five';
import { heard, waitFor } from './waiting.ts';

export interface I2cPorts {
  /** For one answer. */
  readonly answerMs: number;
  /** Asks the board for its firmware: it answers in order, so whatever was still to come has come before. */
  readonly askInOrder: () => void;
}

export class I2cRequests {
  readonly #board: Board;
  readonly #io: Firmata;
  readonly #ports: I2cPorts;
  /** An answer may still come that would be taken for that of the next question. */
  #isOverdue = false;
  #fail: (() => void) | undefined;

  constructor(board: Board, io: Firmata, ports: I2cPorts) {
    this.#board = board;
    this.#io = io;
    this.#ports = ports;
  }

  /** Puts the bus to work, and ends what an earlier host has left running on it. */
  begin(address: number): void {
    this.#board.i2cConfig(0);
    this.#io.i2cStop(address);
  }

  write(address: number, register: number, value: number): void {
    this.#board.i2cWrite(address, register, value);
  }

  /** One at a time. @returns exactly `count` bytes, or undefined */
  async read(address: number, register: number, count: number, signal: AbortSignal): Promise<Uint8Array | undefined> {
    if (this.#isOverdue) {
      const inOrder = heard(this.#io, 'queryfirmware', this.#ports.answerMs, signal);
      this.#ports.askInOrder();
      if (!(await inOrder)) return undefined;
    }
    this.#isOverdue = true;
    const bytes = await waitFor<readonly number[]>(this.#ports.answerMs, signal, (done) => {
      this.#fail = () => done(undefined);
      this.#board.i2cReadOnce(address, register, count, done);
      return () => {
        this.#fail = undefined;
        this.#io.removeListener(`I2C-reply-${address}-${register}`, done);
      };
    });
    if (bytes !== undefined) this.#isOverdue = false;
    // Damaged on the line, a pair of 7-bit bytes can say more than a byte holds.
    const isWhole = bytes?.length === count && bytes.every((byte) => byte >= 0 && byte <= 0xff);
    return isWhole ? Uint8Array.from(bytes) : undefined;
  }

  /** The board has said that the read under way failed; the answer that follows is not to be believed. */
  fail(): void {
    this.#fail?.();
  }
}
