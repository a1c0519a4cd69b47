/** Samples in the store: whatever came, in whatever pieces and order, is read back as it was, and a span of it as it fits a screen. */
import { DuckDBInstance } from '@duckdb/node-api';
import fc from 'fast-check';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { Store, type StoreProblem } from '../../host/store/index.ts';
import type { PipelineEvent, SamplesEvent } from '../../protocol/index.ts';
import { temporaryFolder } from '../unit/store-fixtures.ts';

let folder: ReturnType<typeof temporaryFolder>;
const file = (): string => `${folder.path}/store.duckdb`;

beforeEach(() => {
  folder = temporaryFolder();
});
afterEach(() => folder.remove());

interface Sample {
  readonly channel: string;
  readonly stream: string;
  readonly atNs: number;
  readonly valueSi: number;
  readonly count: number | null;
}

/** A board's block as the pipeline tells it, and how its channel was read just then. */
interface Piece {
  readonly event: SamplesEvent;
}

const conversions: Readonly<Record<string, (count: number) => number>> = {
  line: (count) => -51_713.2 + count * 77.819_24,
  zeroed: (count) => -51_713.2 + count * 77.819_24 - 312.7,
  curved: (count) => 253.15 + count * 0.019_53 + count * count * 1.1e-7,
};

/** One channel's pieces: at even times for stretches, with gaps, changes of conversion, numbers that are no counts. */
const piece = fc.record({
  n: fc.integer({ min: 1, max: 120 }),
  gapNs: fc.oneof({ weight: 6, arbitrary: fc.constant(0) }, fc.integer({ min: 2e6, max: 15e9 })),
  offNs: fc.integer({ min: -900, max: 900 }),
  conversion: fc.oneof({ weight: 8, arbitrary: fc.constant('line') }, fc.constantFrom('zeroed', 'curved')),
  addedSi: fc.oneof({ weight: 4, arbitrary: fc.constant(0) }, fc.constantFrom(101_325, 101_325.3)),
  kind: fc.oneof({ weight: 6, arbitrary: fc.constant('counts') }, fc.constantFrom('wide', 'alone')),
  start: fc.integer({ min: 0, max: 65_000 }),
});

function eventsOf(
  channel: string,
  stream: SamplesEvent['stream'],
  pieces: readonly fc.Arbitrary<unknown>[] | readonly PieceSeed[],
): Piece[] {
  let atNs = 3_000_000_000;
  return (pieces as readonly PieceSeed[]).map(({ n, gapNs, offNs, conversion, addedSi, kind, start }) => {
    atNs += gapNs;
    const wide = kind === 'wide' ? 1e6 : 0;
    const counts = Array.from({ length: n }, (_, i) => wide + Math.min(65_535, start + ((i * 7) % 23)));
    const event: SamplesEvent = {
      type: 'samples',
      atNs,
      channel,
      stream,
      fromNs: atNs + offNs,
      periodNs: 1e6,
      valuesSi: counts.map((count) => (conversions[conversion] as (count: number) => number)(count) + addedSi),
      ...(kind === 'alone' ? {} : { counts, addedSi }),
    };
    atNs += n * 1e6;
    return { event };
  });
}

type PieceSeed = typeof piece extends fc.Arbitrary<infer T> ? T : never;

const samplesOf = ({ event }: Piece): Sample[] =>
  event.valuesSi.map((valueSi, i) => ({
    channel: event.channel,
    stream: event.stream,
    atNs: event.fromNs + i * event.periodNs,
    valueSi,
    count: event.counts?.[i] ?? null,
  }));

async function stored(sql: string): Promise<Sample[]> {
  const instance = await DuckDBInstance.create(file(), { access_mode: 'READ_ONLY' });
  const connection = await instance.connect();
  const rows = (await connection.runAndReadAll(sql)).getRowsJS();
  connection.closeSync();
  instance.closeSync();
  return rows.map(([, channel, stream, atNs, valueSi, count]) => ({
    channel: String(channel),
    stream: String(stream),
    atNs: Number(atNs),
    valueSi: Number(valueSi),
    count: count === null ? null : Number(count),
  }));
}

const inOrder = (samples: readonly Sample[]): Sample[] =>
  [...samples].sort((a, b) =>
    a.channel + a.stream < b.channel + b.stream ? -1 : a.channel + a.stream > b.channel + b.stream ? 1 : a.atNs - b.atNs,
  );

test('every sample is read back: its count, its value to the bit (of a gauge to 12 digits), its time to a thousandth of its period', async () => {
  const channels = fc.tuple(fc.array(piece, { minLength: 1, maxLength: 25 }), fc.array(piece, { maxLength: 10 }));
  let run = 0;
  await fc.assert(
    fc.asyncProperty(channels, fc.infiniteStream(fc.integer({ min: 0, max: 9 })), async ([slow, burst], choices) => {
      const pieces = [...eventsOf('reservoirPressure', 'slow', slow), ...eventsOf('reservoirPressure', 'burst', burst)];
      // Some pieces come late: a board holds them, and they are fetched again.
      const order = pieces.map((each, i) => ({ each, at: i + (choices.next().value === 0 ? 5 : 0) })).sort((a, b) => a.at - b.at);
      const session = `s${++run}`;
      const store = await Store.open(file());
      for (const { each } of order) {
        store.apply(session, [each.event]);
        if (choices.next().value === 1) await store.written();
      }
      await store.close();
      const expected = inOrder(pieces.flatMap(samplesOf));
      const found = inOrder(await stored(`SELECT * FROM samples WHERE session = '${session}'`));
      expect(found.length).toBe(expected.length);
      for (const [i, { atNs, valueSi, ...rest }] of expected.entries()) {
        const { atNs: foundNs, valueSi: foundSi, ...foundRest } = found[i] as Sample;
        // What is no small count is kept as its value alone.
        expect(foundRest).toEqual(rest.count !== null && rest.count > 65_535 ? { ...rest, count: null } : { ...rest });
        expect(Math.abs(foundNs - atNs)).toBeLessThanOrEqual(1_001);
        expect(Math.abs(foundSi - valueSi)).toBeLessThanOrEqual(1e-12 * Math.max(101_325.3, Math.abs(valueSi)));
      }
    }),
    { numRuns: 12, endOnFailure: true },
  );
}, 60_000);

test('without a gauge, to the bit', async () => {
  const store = await Store.open(file());
  const pieces = eventsOf(
    'barrelPressure',
    'slow',
    ['line', 'line', 'zeroed', 'zeroed', 'curved'].map((conversion, i) => ({
      ...{ n: 50, gapNs: 0, offNs: 0, addedSi: 0, kind: 'counts', start: 1_000 + 40 * i },
      conversion,
    })) as PieceSeed[],
  );
  store.apply(
    's1',
    pieces.map(({ event }) => event),
  );
  await store.close();
  expect(await stored("SELECT * FROM samples_between('s1', 'barrelPressure', 0, 100)")).toEqual(pieces.flatMap(samplesOf));
});

test('any span in any number of points is what the samples in it come to, from whatever it was read', async () => {
  const store = await Store.open(file());
  const all = new Map<string, Sample[]>();
  const give = (events: readonly PipelineEvent[]): void => {
    store.apply('s1', events);
    for (const event of events) {
      if (event.type !== 'samples') continue;
      all.set(event.channel, [...(all.get(event.channel) ?? []), ...samplesOf({ event })]);
    }
  };
  // Three minutes at 1 kHz (thinly: bursts of a second), a slow instrument, and a fast one that counts nothing.
  for (let second = 0; second < 180; second += 1) {
    const count = 20_000 + 37 * second;
    const counts = Array.from({ length: 100 }, (_, i) => count + ((i * i) % 17));
    const valuesSi = counts.map((each) => (conversions.curved as (count: number) => number)(each));
    const at = { atNs: second * 1e9, fromNs: second * 1e9 + 5, periodNs: 1e7 };
    give([{ type: 'samples', channel: 'dense', stream: 'slow', ...at, valuesSi, counts, addedSi: 0 }]);
    give([{ type: 'samples', channel: 'alone', stream: 'slow', ...at, valuesSi: valuesSi.slice(0, 3) }]);
    give([{ type: 'samples', channel: 'dense', stream: 'burst', ...at, valuesSi: [9e9], counts: [1], addedSi: 0 }]);
  }
  await store.flush();
  all.set(
    'dense',
    (all.get('dense') ?? []).filter(({ stream }) => stream === 'slow'),
  );
  const spans = fc.tuple(fc.integer({ min: 0, max: 190e9 }), fc.integer({ min: 1, max: 190e9 }), fc.integer({ min: 1, max: 4_000 }));
  // One of each kind of answer, whatever is drawn.
  const LEVELS = [60e9, 10e9, 1e9, 1e8, 5e7];
  const widths = new Set<number>();
  await fc.assert(
    fc.asyncProperty(spans, async ([fromNs, longNs, points]) => {
      const toNs = fromNs + longNs;
      const span = await store.span({ sessionId: 's1', channels: ['dense', 'alone', 'none'], fromNs, toNs, points });
      widths.add(span.widthNs);
      const wished = longNs / points;
      expect(span.widthNs).toBeGreaterThanOrEqual(Math.floor(wished));
      expect(span.widthNs).toBeLessThanOrEqual(Math.max(2.001 * wished, wished + 1, wished > 5e7 ? 2e8 : 0));
      for (const { channel, at, n, min, max, mean } of span.channels) {
        const expected = new Map<number, number[]>();
        // Where summaries answer, whole ones: a stretch that begins in the span, with all that is in it.
        const level = [60e9, 10e9, 1e9].find((each) => each <= wished) ?? (span.widthNs % 1e8 === 0 && wished > 1 ? 1e8 : 1);
        const isSummed = level > 1 && (level > 1e8 || channel === 'dense');
        const [first, end] = isSummed ? [Math.floor(fromNs / level) * level, Math.floor((toNs - 1) / level + 1) * level] : [fromNs, toNs];
        for (const { atNs, valueSi } of all.get(channel) ?? []) {
          if (atNs < first || atNs >= end) continue;
          const stretch = Math.floor(atNs / span.widthNs);
          expected.set(stretch, [...(expected.get(stretch) ?? []), valueSi]);
        }
        expect(at).toEqual([...expected.keys()]);
        at.forEach((stretch, i) => {
          const values = expected.get(stretch) ?? [];
          expect([n[i], min[i], max[i]]).toEqual([values.length, Math.min(...values), Math.max(...values)]);
          expect(mean[i]).toBeCloseTo(values.reduce((a, b) => a + b, 0) / values.length, 9);
        });
      }
    }),
    { numRuns: 40, endOnFailure: true, examples: LEVELS.map((widthNs) => [[0, 180e9, Math.ceil(180e9 / widthNs)]]) },
  );
  expect(widths.size).toBeGreaterThanOrEqual(LEVELS.length);
  await expect(store.span({ sessionId: 's1', channels: [], fromNs: 0, toNs: 1, points: 1 })).rejects.toThrow(RangeError);
  await expect(store.span({ sessionId: 's1', channels: ['dense'], fromNs: 1, toNs: 1, points: 1 })).rejects.toThrow(RangeError);
  await expect(store.span({ sessionId: 's1', channels: ['dense'], fromNs: 0, toNs: 1, points: 0 })).rejects.toThrow(RangeError);
  await store.close();
}, 60_000);

test('a disk that cannot keep up costs the oldest samples, counted and told; what is left can be read', async () => {
  const problems: StoreProblem[] = [];
  const store = await Store.open(file(), { queueSamplesMax: 3_000, onProblem: (problem) => problems.push(problem) });
  // All within one turn of the event loop, so that nothing is written between. The same counts again and again: later ones need what the first taught.
  const pieces = eventsOf(
    'barrelPressure',
    'slow',
    Array.from(
      { length: 12 },
      () => ({ n: 1_000, gapNs: 9e9, offNs: 0, conversion: 'line', addedSi: 0, kind: 'counts', start: 500 }) as PieceSeed,
    ),
  );
  store.apply(
    's1',
    pieces.map(({ event }) => event),
  );
  expect(store.dropped.samples).toBeGreaterThan(0);
  expect(problems.at(-1)?.message).toMatch(/samples.*no shots.*postern rebuild/);
  await store.close();
  const { samples } = store.dropped;
  expect(samples % 1_000).toBe(0);
  const left = pieces.flatMap(samplesOf).slice(samples);
  expect(left.length).toBeGreaterThan(1_000);
  expect(inOrder(await stored('SELECT * FROM samples'))).toEqual(left);
});

test('sessions that come and go and come again keep what their counts meant', async () => {
  const store = await Store.open(file());
  const expected: [string, number][] = [];
  for (let round = 0; round < 3; round++) {
    for (let of = 0; of < 7; of++) {
      const counts = [10 + of, 11 + of, 500];
      const valuesSi = counts.map((count) => count * (of + 1));
      const at = { atNs: round * 60e9, fromNs: round * 60e9, periodNs: 1e6 };
      store.apply(`s${of}`, [{ type: 'samples', channel: 'c', stream: 'slow', ...at, valuesSi, counts, addedSi: 0 }]);
      expected.push(...valuesSi.map((valueSi): [string, number] => [`s${of}`, valueSi]));
      await store.flush();
    }
  }
  await store.close();
  const instance = await DuckDBInstance.create(file(), { access_mode: 'READ_ONLY' });
  const connection = await instance.connect();
  const rows = (await connection.runAndReadAll('SELECT session, value_si FROM samples')).getRowsJS();
  connection.closeSync();
  instance.closeSync();
  const order = (all: readonly (readonly unknown[])[]): string[] => all.map((row) => JSON.stringify(row)).sort();
  expect(order(rows)).toEqual(order(expected));
});
