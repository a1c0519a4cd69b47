/**
 * A span of channels as it fits a screen: count, extremes and mean over stretches of one width. From the coarsest
 * summaries that are fine enough, from the samples themselves where none is, so that a day costs no more than a minute.
 */
import type { DuckDBConnection, DuckDBDataChunk, DuckDBValue } from '@duckdb/node-api';
import type { SessionNs } from '../../../protocol/index.ts';
import { countRaw, hasSamples, readRaw } from './raw-samples.ts';
import { Stretches } from './stretches.ts';
import { bigInt64Items, float64Items, int32Items } from './typed-items.ts';

export interface SpanQuery {
  readonly sessionId: string;
  /** 1 to 64. */
  readonly channels: readonly string[];
  readonly fromNs: SessionNs;
  /** Not in it; after fromNs, by no more than 400 days. */
  readonly toNs: SessionNs;
  /** Stretches, about; 1 to 4 000. Where summaries serve there may be half as many. */
  readonly points: number;
}

/** Of one channel: stretch k begins at session time at[k] × widthNs. Those without a sample are left out. */
export interface ChannelSpan {
  readonly channel: string;
  readonly at: readonly number[];
  readonly n: readonly number[];
  readonly min: readonly number[];
  readonly max: readonly number[];
  readonly mean: readonly number[];
}

export interface Span {
  readonly widthNs: number;
  readonly channels: readonly ChannelSpan[];
}

export const SPAN_CHANNELS_MAX = 64;
export const SPAN_POINTS_MAX = 4_000;
/** To be gone through one by one, for an answer of a few hundredths of a second. */
const RAW_SAMPLES_MAX = 100_000;
const SPAN_NS_MAX = 400 * 86_400e9;

interface Level {
  readonly table: string;
  readonly column: string;
  readonly widthNs: number;
}

/** The coarsest first. */
const LEVELS: readonly Level[] = [
  { table: 'channel_minute_parts', column: 'minute', widthNs: 60e9 },
  { table: 'channel_ten_parts', column: 'ten', widthNs: 10e9 },
  { table: 'channel_second_parts', column: 'second', widthNs: 1e9 },
];
const TENTHS: Level = { table: 'channel_tenth_parts', column: 'tenth', widthNs: 1e8 };

/**
 * @throws RangeError for a span, a number of points or of channels that is none
 */
export async function readSpan(reader: DuckDBConnection, query: SpanQuery): Promise<Span> {
  const { fromNs, toNs, points, channels } = query;
  if (!(Number.isSafeInteger(fromNs) && Number.isSafeInteger(toNs) && fromNs < toNs && toNs - fromNs <= SPAN_NS_MAX)) {
    throw new RangeError(`span from ${fromNs} to ${toNs} ns: must be whole numbers, the second the larger, by no more than 400 days`);
  }
  if (!(Number.isInteger(points) && points >= 1 && points <= SPAN_POINTS_MAX)) {
    throw new RangeError(`points ${points}: must be a whole number from 1 to ${SPAN_POINTS_MAX}`);
  }
  if (!(channels.length >= 1 && channels.length <= SPAN_CHANNELS_MAX)) {
    throw new RangeError(`${channels.length} channels: must be 1 to ${SPAN_CHANNELS_MAX}`);
  }
  return new SpanReader(reader, query).read();
}

class SpanReader {
  readonly #reader: DuckDBConnection;
  readonly #query: SpanQuery;

  constructor(reader: DuckDBConnection, query: SpanQuery) {
    this.#reader = reader;
    this.#query = query;
  }

  async read(): Promise<Span> {
    const { fromNs, toNs, points } = this.#query;
    const wishedNs = (toNs - fromNs) / points;
    let span = await this.#finest(wishedNs);
    if (span.channels.some(({ at }) => at.length > 0) || (await hasSamples(this.#reader, this.#query))) return span;
    // It was thinned: what is left of it answers.
    for (const level of [TENTHS, ...LEVELS.toReversed()]) {
      if (span.channels.some(({ at }) => at.length > 0) || level.widthNs < span.widthNs) continue;
      span = await this.#fromLevel(level, wishedNs);
    }
    return span;
  }

  async #finest(wishedNs: number): Promise<Span> {
    const level = LEVELS.find(({ widthNs }) => widthNs <= wishedNs);
    if (level) return this.#fromLevel(level, wishedNs);
    // Stretches twice as wide as wished for are better than an answer ten times as slow.
    const raw = { ...this.#query, sparseOnly: false };
    const isFine = wishedNs < TENTHS.widthNs / 2 && (await countRaw(this.#reader, raw)) <= RAW_SAMPLES_MAX;
    if (!isFine) return this.#fromLevel(TENTHS, wishedNs);
    const widthNs = Math.max(1, Math.ceil(wishedNs));
    const stretches = this.#stretches(widthNs);
    await readRaw(this.#reader, raw, (channel) => stretches.sinkOf(channel));
    return this.#answer(widthNs, stretches);
  }

  async #fromLevel(level: Level, wishedNs: number): Promise<Span> {
    const { sessionId, channels, fromNs, toNs } = this.#query;
    const widthNs = Math.ceil(wishedNs / level.widthNs) * level.widthNs;
    const stretches = this.#stretches(widthNs);
    const values: Record<string, DuckDBValue> = { session: sessionId, from: BigInt(fromNs), to: BigInt(toNs), width: BigInt(widthNs) };
    channels.forEach((channel, i) => {
      values[`c${i}`] = channel;
    });
    for (const chunk of await (await this.#reader.run(levelSql(level, channels.length), values)).fetchAllChunks()) {
      addSummaries(stretches, chunk, channels);
    }
    if (level === TENTHS) {
      await readRaw(this.#reader, { ...this.#query, sparseOnly: true }, (channel) => stretches.sinkOf(channel));
    }
    return this.#answer(widthNs, stretches);
  }

  #stretches(widthNs: number): Stretches {
    const { channels, fromNs, toNs } = this.#query;
    const first = Math.floor(fromNs / widthNs);
    return new Stretches(channels, { first, count: Math.floor((toNs - 1) / widthNs) - first + 1, widthNs });
  }

  #answer(widthNs: number, stretches: Stretches): Span {
    return { widthNs, channels: this.#query.channels.map((channel) => ({ channel, ...stretches.of(channel) })) };
  }
}

function addSummaries(stretches: Stretches, chunk: DuckDBDataChunk, channels: readonly string[]): void {
  const channel = int32Items(chunk.getColumnVector(0));
  const at = bigInt64Items(chunk.getColumnVector(1));
  const n = int32Items(chunk.getColumnVector(2));
  const [min, max, total] = [3, 4, 5].map((i) => float64Items(chunk.getColumnVector(i))) as [Float64Array, Float64Array, Float64Array];
  const { rowCount } = chunk;
  for (let i = 0; i < rowCount; i++) {
    const row = { n: n[i] as number, min: min[i] as number, max: max[i] as number, total: total[i] as number };
    stretches.addSummary(channels[(channel[i] as number) - 1] ?? '', Number(at[i]), row);
  }
}

/** By the stretch, of all that begin in the span; at_ns is where one begins. */
function levelSql({ table, column, widthNs }: Level, channels: number): string {
  const names = Array.from({ length: channels }, (_, i) => `$c${i}`).join(', ');
  return `SELECT CAST(list_position([${names}], channel) AS INTEGER), CAST(min(${column}) * ${widthNs} AS BIGINT), CAST(sum(n) AS INTEGER), min(min), max(max), sum(n * mean)
    FROM ${table}
    WHERE session = $session AND channel IN (${names}) AND ${column} BETWEEN $from // ${widthNs} AND ($to - 1) // ${widthNs}
    GROUP BY channel, ${column} * ${widthNs} // $width`;
}
