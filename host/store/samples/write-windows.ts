/** Samples to the database: counts by whole data chunks, which is the library's quickest way, the rest row by row. */
import { setImmediate as turn } from 'node:timers/promises';
import { BIGINT, type DuckDBAppender, type DuckDBConnection, DuckDBDataChunk, INTEGER } from '@duckdb/node-api';
import { type CalibrationRow, type CountBlock, type SampleWindow, WINDOW_SAMPLES_MAX } from './sample-window.ts';
import { ROW_COST, Slice } from './slice.ts';
import { bigInt64Items, int32Items } from './typed-items.ts';

/** Gives each block a number that none had before. */
export interface BlockNumbers {
  next(): bigint;
}

export async function blockNumbers(reader: DuckDBConnection): Promise<BlockNumbers> {
  const [row] = (await reader.runAndReadAll('SELECT coalesce(max(block), 0) FROM sample_blocks')).getRowsJS();
  let last = BigInt(String(row?.[0] ?? 0));
  return {
    next() {
      last += 1n;
      return last;
    },
  };
}

/**
 * Within a transaction. After some milliseconds of work the event loop turns: windows of all channels end together, and a
 * line that comes in meanwhile does not wait for all of them.
 */
export async function writeWindows(writer: DuckDBConnection, windows: readonly SampleWindow[], blocks: BlockNumbers): Promise<void> {
  await appending(writer, 'sample_blocks', (heads) =>
    appending(writer, 'sample_counts', async (counts) => {
      const chunk = DuckDBDataChunk.create([BIGINT, INTEGER, INTEGER], CHUNK_ROWS);
      for (const window of windows) {
        for (const block of window.blocks) {
          const number = blocks.next();
          appendHead(heads.appender, number, window, block);
          appendCounts(counts.appender, chunk, number, block.counts);
          counts.add(block.counts.length);
        }
        if (counts.isFull) await counts.handOver();
        else await turn();
      }
    }),
  );
  await appending(writer, 'calibration_values', async (slice) => {
    for (const window of windows) {
      for (const row of window.calibrations) {
        appendCalibration(slice.appender, window, row);
        slice.add(ROW_COST);
        if (slice.isFull) await slice.handOver();
      }
    }
  });
  await appending(writer, 'sample_readings', async (slice) => {
    for (const window of windows) {
      appendReadings(slice.appender, window);
      slice.add(ROW_COST * window.readings.length);
      if (slice.isFull) await slice.handOver();
    }
  });
  await appendSummaries(writer, 'channel_tenth_parts', windows, 'tenths');
  await appendSummaries(writer, 'channel_second_parts', windows, 'seconds');
  await appendSummaries(writer, 'channel_ten_parts', windows, 'tens');
  await appendSummaries(writer, 'channel_minute_parts', windows, 'minutes');
}

type Level = 'tenths' | 'seconds' | 'tens' | 'minutes';

async function appendSummaries(writer: DuckDBConnection, table: string, windows: readonly SampleWindow[], level: Level): Promise<void> {
  if (windows.every((window) => window[level].length === 0)) return;
  await appending(writer, table, async (slice) => {
    const { appender } = slice;
    for (const window of windows) {
      const { session, channel } = window;
      for (const { at, n, min, max, mean } of window[level]) {
        appender.appendVarchar(session);
        appender.appendVarchar(channel);
        appender.appendBigInt(BigInt(at));
        appender.appendInteger(n);
        appender.appendDouble(min);
        appender.appendDouble(max);
        appender.appendDouble(mean);
        appender.endRow();
      }
      slice.add(ROW_COST * window[level].length);
      if (slice.isFull) await slice.handOver();
    }
  });
}

/** As many as the library takes in one. */
const CHUNK_ROWS = 2048;
/** A block is of one window at most. */
const INDICES = Int32Array.from({ length: WINDOW_SAMPLES_MAX }, (_, i) => i);

function appendCounts(appender: DuckDBAppender, chunk: DuckDBDataChunk, number: bigint, counts: Int32Array): void {
  for (let begin = 0; begin < counts.length; begin += CHUNK_ROWS) {
    const rows = Math.min(CHUNK_ROWS, counts.length - begin);
    chunk.reset();
    chunk.rowCount = rows;
    const [block, index, count] = [chunk.getColumnVector(0), chunk.getColumnVector(1), chunk.getColumnVector(2)];
    bigInt64Items(block).fill(number);
    int32Items(index).set(INDICES.subarray(begin, begin + rows));
    int32Items(count).set(counts.subarray(begin, begin + rows));
    for (const vector of [block, index, count]) vector.flush();
    appender.appendDataChunk(chunk);
  }
}

function appendHead(appender: DuckDBAppender, number: bigint, { session, channel, stream, dense }: SampleWindow, block: CountBlock): void {
  appender.appendBigInt(number);
  appender.appendVarchar(session);
  appender.appendVarchar(channel);
  appender.appendVarchar(stream);
  appender.appendBigInt(BigInt(Math.round(block.fromNs)));
  appender.appendDouble(block.periodNs);
  appender.appendInteger(block.counts.length);
  appender.appendInteger(block.calibration);
  appender.appendDouble(block.addedSi);
  appender.appendBoolean(dense);
  appender.endRow();
}

function appendCalibration(appender: DuckDBAppender, { session, channel }: SampleWindow, row: CalibrationRow): void {
  appender.appendVarchar(session);
  appender.appendVarchar(channel);
  appender.appendInteger(row.calibration);
  appender.appendInteger(row.count);
  appender.appendDouble(row.valueSi);
  appender.endRow();
}

function appendReadings(appender: DuckDBAppender, { session, channel, stream, dense, readings }: SampleWindow): void {
  for (const { atNs, valueSi } of readings) {
    appender.appendVarchar(session);
    appender.appendVarchar(channel);
    appender.appendVarchar(stream);
    appender.appendBigInt(BigInt(atNs));
    appender.appendDouble(valueSi);
    appender.appendBoolean(dense);
    appender.endRow();
  }
}

async function appending(writer: DuckDBConnection, table: string, work: (slice: Slice) => Promise<void>): Promise<void> {
  const appender = await writer.createAppender(table);
  try {
    await work(new Slice(appender));
    appender.flushSync();
  } finally {
    appender.closeSync();
  }
}
