/**
 * The store library's own quickest way in, and nothing else: whole data chunks of the same rows into a table of the same
 * shape, in transactions of the same size, under the same settings. No summaries, no calibration, no bounds.
 */
import { BIGINT, type DuckDBConnection, DuckDBDataChunk, DuckDBInstance, INTEGER } from '@duckdb/node-api';
import { bigInt64Items, int32Items } from '../../../host/store/samples/typed-items.ts';
import type { PipelineEvent } from '../../../protocol/index.ts';

const CHUNK_ROWS = 2048;
const TRANSACTION_ROWS = 200_000;

export class BareBulk {
  readonly #instance: DuckDBInstance;
  readonly #connection: DuckDBConnection;
  readonly #chunk = DuckDBDataChunk.create([BIGINT, INTEGER, INTEGER], CHUNK_ROWS);
  readonly #channels = new Map<string, { block: bigint; counts: number[] }>();
  #blocks = 0n;
  #waiting: { block: bigint; counts: readonly number[] }[] = [];
  #rows = 0;

  private constructor(instance: DuckDBInstance, connection: DuckDBConnection) {
    this.#instance = instance;
    this.#connection = connection;
  }

  static async open(path: string): Promise<BareBulk> {
    const instance = await DuckDBInstance.create(path, { memory_limit: '256MB', threads: '2', autoinstall_known_extensions: 'false' });
    const connection = await instance.connect();
    await connection.run('CREATE TABLE sample_counts (block BIGINT NOT NULL, i INTEGER NOT NULL, count INTEGER NOT NULL)');
    return new BareBulk(instance, connection);
  }

  async take(events: readonly PipelineEvent[]): Promise<void> {
    for (const event of events) {
      if (event.type !== 'samples' || !event.counts) continue;
      const of = this.#channels.get(event.channel) ?? { block: ++this.#blocks, counts: [] };
      this.#channels.set(event.channel, of);
      of.counts.push(...event.counts);
      if (of.counts.length < 10_000) continue;
      this.#waiting.push(of);
      this.#rows += of.counts.length;
      this.#channels.delete(event.channel);
    }
    if (this.#rows >= TRANSACTION_ROWS) await this.#write();
  }

  async close(): Promise<void> {
    this.#waiting.push(...this.#channels.values());
    await this.#write();
    await this.#connection.run('CHECKPOINT');
    this.#connection.closeSync();
    this.#instance.closeSync();
  }

  async #write(): Promise<void> {
    await this.#connection.run('BEGIN');
    const appender = await this.#connection.createAppender('sample_counts');
    for (const { block, counts } of this.#waiting) {
      for (let begin = 0; begin < counts.length; begin += CHUNK_ROWS) {
        const rows = Math.min(CHUNK_ROWS, counts.length - begin);
        this.#chunk.reset();
        this.#chunk.rowCount = rows;
        const vectors = [0, 1, 2].map((column) => this.#chunk.getColumnVector(column));
        const [number, index, count] = vectors as [(typeof vectors)[0], (typeof vectors)[0], (typeof vectors)[0]];
        bigInt64Items(number).fill(block);
        const [indices, values] = [int32Items(index), int32Items(count)];
        for (let i = 0; i < rows; i++) {
          indices[i] = begin + i;
          values[i] = counts[begin + i] as number;
        }
        for (const vector of vectors) vector.flush();
        appender.appendDataChunk(this.#chunk);
      }
    }
    appender.flushSync();
    appender.closeSync();
    await this.#connection.run('COMMIT');
    this.#waiting = [];
    this.#rows = 0;
  }
}
