/** The samples themselves of a span, read as whole columns: what no summary is fine enough for. */
import type { DuckDBConnection, DuckDBDataChunk, DuckDBValue } from '@duckdb/node-api';
import { bigInt64Items, float64Items, int32Items } from './typed-items.ts';

export interface RawQuery {
  readonly sessionId: string;
  readonly channels: readonly string[];
  readonly fromNs: number;
  /** Not in it. */
  readonly toNs: number;
  /** Only of stretches that have no summaries by the tenth of a second. */
  readonly sparseOnly: boolean;
}

/** @param atNs  session time, not always in order */
export type OnSample = (atNs: number, valueSi: number) => void;

interface Head {
  readonly channel: string;
  readonly fromNs: number;
  readonly periodNs: number;
  readonly addedSi: number;
  /** Value of each count, from `lowest` on; filled before the counts are gone through. */
  readonly meaning: Meaning;
}

interface Meaning {
  readonly channel: string;
  readonly calibration: number;
  valuesSi: Float64Array;
}

/** How many samples there are, about, without reading them. */
export async function countRaw(reader: DuckDBConnection, query: RawQuery): Promise<number> {
  const { blocks, readings, values } = conditions(query);
  const [row] = (
    await reader.runAndReadAll(
      `SELECT CAST((SELECT coalesce(sum(n), 0) FROM sample_blocks WHERE ${blocks}) + (SELECT count(*) FROM sample_readings WHERE ${readings}) AS DOUBLE)`,
      values,
    )
  ).getRowsJS();
  return Number(row?.[0]);
}

/** Whether any is left of the session, of whatever channel. */
export async function hasSamples(reader: DuckDBConnection, { sessionId }: Pick<RawQuery, 'sessionId'>): Promise<boolean> {
  const sql = 'SELECT EXISTS (FROM sample_blocks WHERE session = $1) OR EXISTS (FROM sample_readings WHERE session = $1)';
  return (await reader.runAndReadAll(sql, [sessionId])).getRowsJS()[0]?.[0] === true;
}

/**
 * Slow samples only: a burst covers the same time again.
 * @param sinkOf  asked once for each run of a channel's samples
 */
export async function readRaw(reader: DuckDBConnection, query: RawQuery, sinkOf: (channel: string) => OnSample): Promise<void> {
  const { blocks, readings, values } = conditions(query);
  const read = async (sql: string): Promise<readonly DuckDBDataChunk[]> => (await reader.run(sql, values)).fetchAllChunks();
  const heads = headsOf(await read(`SELECT block, channel, from_ns, period_ns, calibration, added_si FROM sample_blocks WHERE ${blocks}`));
  if (heads.size > 0) {
    const { low, sql } = countsSql([...heads.keys()]);
    const counts = { low, heads, chunks: await (await reader.run(sql)).fetchAllChunks() };
    await findMeanings(reader, query, counts);
    goThrough(counts, query, sinkOf);
  }
  for (const chunk of await read(`SELECT channel, at_ns, value_si FROM sample_readings WHERE ${readings}`)) {
    const channels = chunk.getColumnValues(0);
    const at = bigInt64Items(chunk.getColumnVector(1));
    const value = float64Items(chunk.getColumnVector(2));
    const { rowCount } = chunk;
    for (let i = 0; i < rowCount; i++) sinkOf(String(channels[i]))(Number(at[i]), value[i] as number);
  }
}

/** Blocks lie in the order of their numbers: by their first and last the database knows which parts of the table to leave alone. */
function countsSql(blocks: readonly bigint[]): { readonly low: bigint; readonly sql: string } {
  let [low, high] = [blocks[0] ?? 0n, blocks[0] ?? 0n];
  for (const block of blocks) {
    if (block < low) low = block;
    if (block > high) high = block;
  }
  const isAll = BigInt(blocks.length) === high - low + 1n;
  const which = isAll ? '' : ` AND block IN (${blocks.join(', ')})`;
  const sql = `SELECT CAST(block - ${low} AS INTEGER), i, count FROM sample_counts WHERE block BETWEEN ${low} AND ${high}${which}`;
  return { low, sql };
}

function headsOf(chunks: readonly DuckDBDataChunk[]): Map<bigint, Head> {
  const heads = new Map<bigint, Head>();
  const meanings = new Map<string, Meaning>();
  for (const [block, name, fromNs, periodNs, calibration, addedSi] of chunks.flatMap((chunk) => chunk.getRows())) {
    const channel = String(name);
    const key = JSON.stringify([channel, calibration]);
    const meaning = meanings.get(key) ?? { channel, calibration: Number(calibration), valuesSi: new Float64Array(0) };
    meanings.set(key, meaning);
    heads.set(block as bigint, { channel, fromNs: Number(fromNs), periodNs: Number(periodNs), addedSi: Number(addedSi), meaning });
  }
  return heads;
}

interface Counts {
  /** Of the blocks' numbers; in the chunks they are told from there on. */
  readonly low: bigint;
  readonly heads: ReadonlyMap<bigint, Head>;
  readonly chunks: readonly DuckDBDataChunk[];
}

/** Of the counts that there are, and no others: a channel may have 65 536 of them. */
async function findMeanings(reader: DuckDBConnection, { sessionId, channels }: RawQuery, counts: Counts): Promise<void> {
  const ranges = new Map<Meaning, { low: number; high: number }>();
  eachRun(counts, ({ meaning }, begin, end, { count }) => {
    const range = ranges.get(meaning) ?? { low: Number.POSITIVE_INFINITY, high: -1 };
    ranges.set(meaning, range);
    for (let i = begin; i < end; i++) {
      const here = count[i] as number;
      if (here < range.low) range.low = here;
      if (here > range.high) range.high = here;
    }
  });
  if (ranges.size === 0) return;
  const wheres: string[] = [];
  const values: DuckDBValue[] = [sessionId];
  const places = new Map<number, Meaning>();
  for (const [meaning, { low, high }] of ranges) {
    meaning.valuesSi = new Float64Array(high + 1).fill(Number.NaN);
    places.set(channels.indexOf(meaning.channel) * CALIBRATIONS + meaning.calibration, meaning);
    wheres.push('(channel = ? AND calibration = ? AND count BETWEEN ? AND ?)');
    values.push(meaning.channel, meaning.calibration, low, high);
  }
  // Names as their places in a list: thousands of texts take longer to fetch than all else.
  const list = channels.map(() => '?').join(', ');
  const sql = `SELECT CAST(list_position([${list}], channel) AS INTEGER), calibration, count, value_si
    FROM calibration_values WHERE session = ? AND (${wheres.join(' OR ')})`;
  for (const chunk of await (await reader.run(sql, [...channels, ...values])).fetchAllChunks()) {
    const [channel, calibration] = [int32Items(chunk.getColumnVector(0)), int32Items(chunk.getColumnVector(1))];
    const count = int32Items(chunk.getColumnVector(2));
    const value = float64Items(chunk.getColumnVector(3));
    const { rowCount } = chunk;
    for (let i = 0; i < rowCount; i++) {
      const place = ((channel[i] as number) - 1) * CALIBRATIONS + (calibration[i] as number);
      const meaning = places.get(place);
      if (meaning) meaning.valuesSi[count[i] as number] = value[i] as number;
    }
  }
}

/** More than a channel ever has. */
const CALIBRATIONS = 1_000_000;

function goThrough(counts: Counts, { fromNs, toNs }: RawQuery, sinkOf: (channel: string) => OnSample): void {
  eachRun(counts, (head, begin, end, { index, count }) => {
    const { fromNs: firstNs, periodNs, addedSi, meaning } = head;
    const { valuesSi } = meaning;
    const onSample = sinkOf(head.channel);
    for (let i = begin; i < end; i++) {
      const atNs = firstNs + Math.round((index[i] as number) * periodNs);
      if (atNs >= fromNs && atNs < toNs) onSample(atNs, (valuesSi[count[i] as number] as number) + addedSi);
    }
  });
}

interface CountColumns {
  readonly index: Int32Array;
  readonly count: Int32Array;
}

/** Each run of rows of one block. */
function eachRun({ low, heads, chunks }: Counts, work: (head: Head, begin: number, end: number, columns: CountColumns) => void): void {
  for (const chunk of chunks) {
    const block = int32Items(chunk.getColumnVector(0));
    const columns = { index: int32Items(chunk.getColumnVector(1)), count: int32Items(chunk.getColumnVector(2)) };
    // Asking a chunk for it is a call into the library.
    const { rowCount } = chunk;
    for (let begin = 0; begin < rowCount; ) {
      const here = block[begin];
      let end = begin + 1;
      while (end < rowCount && block[end] === here) end++;
      const head = heads.get(low + BigInt(here as number));
      if (head) work(head, begin, end, columns);
      begin = end;
    }
  }
}

function conditions({ sessionId, channels, fromNs, toNs, sparseOnly }: RawQuery): {
  readonly blocks: string;
  readonly readings: string;
  readonly values: Record<string, DuckDBValue>;
} {
  const values: Record<string, DuckDBValue> = { session: sessionId, from: BigInt(fromNs), to: BigInt(toNs) };
  channels.forEach((channel, i) => {
    values[`c${i}`] = channel;
  });
  const names = channels.map((_, i) => `$c${i}`).join(', ');
  const common = `session = $session AND channel IN (${names}) AND stream = 'slow'${sparseOnly ? ' AND NOT dense' : ''}`;
  return {
    blocks: `${common} AND from_ns < $to AND from_ns + n * period_ns >= $from`,
    readings: `${common} AND at_ns >= $from AND at_ns < $to`,
    values,
  };
}
