/**
 * The store library's own quickest way in, and nothing else: whole data chunks into one table, in transactions of the same
 * size, under the same settings. No summaries, no calibration, no bounds. Either the samples as anyone would lay them
 * down (channel, time, value), or the bare counts alone, which nobody could read.
 */
import { BIGINT, DOUBLE, type DuckDBAppender, type DuckDBConnection, DuckDBDataChunk, DuckDBInstance, INTEGER } from '@duckdb/node-api';
import { bigInt64Items, float64Items, int32Items } from '../../../host/store/samples/typed-items.ts';
import type { PipelineEvent, SamplesEvent } from '../../../protocol/index.ts';

const CHUNK_ROWS = 2048;
const TRANSACTION_ROWS = 200_000;
const RUN_SAMPLES = 10_000;
const CONFIGURATION = { memory_limit: '256MB', threads: '2', checkpoint_threshold: '64MB', autoinstall_known_extensions: 'false' };

export type BareLayout = 'samples' | 'counts';

const TABLES = {
  samples: {
    sql: 'CREATE TABLE bare (channel INTEGER NOT NULL, at_ns BIGINT NOT NULL, value_si DOUBLE NOT NULL)',
    types: [INTEGER, BIGINT, DOUBLE],
  },
  counts: {
    sql: 'CREATE TABLE bare (block BIGINT NOT NULL, i INTEGER NOT NULL, count INTEGER NOT NULL)',
    types: [BIGINT, INTEGER, INTEGER],
  },
} as const;

interface Run {
  readonly number: number;
  readonly pieces: SamplesEvent[];
  samples: number;
}

export class BareBulk {
  readonly #instance: DuckDBInstance;
  readonly #connection: DuckDBConnection;
  readonly #layout: BareLayout;
  readonly #chunk: DuckDBDataChunk;
  readonly #channels = new Map<string, Run>();
  #runs = 0;
  #waiting: Run[] = [];
  #rows = 0;

  private constructor(instance: DuckDBInstance, connection: DuckDBConnection, layout: BareLayout) {
    this.#instance = instance;
    this.#connection = connection;
    this.#layout = layout;
    this.#chunk = DuckDBDataChunk.create([...TABLES[layout].types], CHUNK_ROWS);
  }

  static async open(path: string, layout: BareLayout): Promise<BareBulk> {
    const instance = await DuckDBInstance.create(path, CONFIGURATION);
    const connection = await instance.connect();
    await connection.run(TABLES[layout].sql);
    return new BareBulk(instance, connection, layout);
  }

  async take(events: readonly PipelineEvent[]): Promise<void> {
    for (const event of events) {
      if (event.type !== 'samples') continue;
      const run = this.#channels.get(event.channel) ?? { number: ++this.#runs, pieces: [], samples: 0 };
      this.#channels.set(event.channel, run);
      run.pieces.push(event);
      run.samples += event.valuesSi.length;
      if (run.samples < RUN_SAMPLES) continue;
      this.#waiting.push(run);
      this.#rows += run.samples;
      this.#channels.delete(event.channel);
    }
    if (this.#rows >= TRANSACTION_ROWS) await this.write();
  }

  async close(): Promise<void> {
    this.#waiting.push(...this.#channels.values());
    await this.write();
    await this.#connection.run('CHECKPOINT');
    this.#connection.closeSync();
    this.#instance.closeSync();
  }

  async write(): Promise<void> {
    await this.#connection.run('BEGIN');
    const appender = await this.#connection.createAppender('bare');
    for (const run of this.#waiting) this.#append(appender, run);
    appender.flushSync();
    appender.closeSync();
    await this.#connection.run('COMMIT');
    this.#waiting = [];
    this.#rows = 0;
  }

  #append(appender: DuckDBAppender, { number, pieces, samples }: Run): void {
    const fill = this.#layout === 'samples' ? fillSamples : fillCounts;
    let piece = 0;
    let at = 0;
    for (let begin = 0; begin < samples; begin += CHUNK_ROWS) {
      const rows = Math.min(CHUNK_ROWS, samples - begin);
      this.#chunk.reset();
      this.#chunk.rowCount = rows;
      const row = fill(this.#chunk, number);
      for (let i = 0; i < rows; i++) {
        const from = pieces[piece] as SamplesEvent;
        row(i, begin + i, from, at);
        at += 1;
        if (at < from.valuesSi.length) continue;
        piece += 1;
        at = 0;
      }
      for (const column of [0, 1, 2]) this.#chunk.getColumnVector(column).flush();
      appender.appendDataChunk(this.#chunk);
    }
  }
}

type Filler = (row: number, index: number, from: SamplesEvent, at: number) => void;

function fillSamples(chunk: DuckDBDataChunk, number: number): Filler {
  int32Items(chunk.getColumnVector(0)).fill(number % 8);
  const [time, value] = [bigInt64Items(chunk.getColumnVector(1)), float64Items(chunk.getColumnVector(2))];
  return (row, _, from, at) => {
    time[row] = BigInt(Math.round(from.fromNs + at * from.periodNs));
    value[row] = from.valuesSi[at] as number;
  };
}

function fillCounts(chunk: DuckDBDataChunk, number: number): Filler {
  bigInt64Items(chunk.getColumnVector(0)).fill(BigInt(number));
  const [index, count] = [int32Items(chunk.getColumnVector(1)), int32Items(chunk.getColumnVector(2))];
  return (row, i, from, at) => {
    index[row] = i;
    count[row] = from.counts?.[at] ?? 0;
  };
}
