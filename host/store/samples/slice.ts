/**
 * What an appender is given before it hands over and the event loop turns. The library takes a long row of rows in one
 * breath otherwise: with 32 channels at 1 kHz that is a quarter of a second in which the host hears nothing.
 */
import { setImmediate as turn } from 'node:timers/promises';
import type { DuckDBAppender } from '@duckdb/node-api';

/** Of rows in whole chunks; some milliseconds of a core. */
const FULL = 16 * 2048;
/** One given value by value, in rows of a chunk. */
export const ROW_COST = 16;

export class Slice {
  readonly appender: DuckDBAppender;
  #given = 0;

  constructor(appender: DuckDBAppender) {
    this.appender = appender;
  }

  add(rows: number): void {
    this.#given += rows;
  }

  get isFull(): boolean {
    return this.#given >= FULL;
  }

  async handOver(): Promise<void> {
    this.#given = 0;
    this.appender.flushSync();
    await turn();
  }
}
