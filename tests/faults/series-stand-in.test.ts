/** Servers that refuse, put off, stall and vanish. Whatever they do, each point arrives, or is told with the reason why not. */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { DELIVERY_PORTS, Lane } from '../../host/cli/series/lane.ts';
import { IN_FLIGHT_MAX, lineSender, PickySender, type SeriesServer } from '../../host/series/index.ts';
import { seriesOf } from '../../host/series/refusals.ts';
import { retryAfterS } from '../../host/series/sender.ts';
import { expectedLines } from '../support/series/expected-lines.ts';
import { type StandIn, standIn, TAKEN } from '../support/series/stand-in.ts';
import { writeVirtualJournal } from '../support/virtual-journal.ts';

const SECRET = 'Zq9-hidden-Zq9';
const folder = mkdtempSync(join(tmpdir(), 'postern-series-'));
const journal = join(folder, 'virtual.mcap');
let lines: readonly string[];
let server: StandIn;

beforeAll(async () => {
  await writeVirtualJournal(journal, { seed: 3, shots: 1 });
  lines = expectedLines(journal, 'influxdb-1');
});
afterAll(() => rmSync(folder, { recursive: true }));
beforeEach(async () => {
  server = await standIn();
});
afterEach(() => server.close());

const target = (): SeriesServer => ({ kind: 'influxdb-2', url: server.url, org: 'cold sike', bucket: 'range', tags: {}, secret: SECRET });

/** Waits pass at once but are remembered; the clock stands, so that no batch settles by itself. */
function quickPorts() {
  const waits: number[] = [];
  let nowMs = 0;
  const ports = {
    ...DELIVERY_PORTS,
    nowMs: () => {
      nowMs += 0.01;
      return nowMs;
    },
    wait: async (ms: number, signal: AbortSignal) => {
      if (ms > 1_000_000) return DELIVERY_PORTS.wait(ms, signal);
      if (ms >= 500) waits.push(ms);
      nowMs += ms;
      await DELIVERY_PORTS.wait(1, signal);
    },
  };
  return { ports, waits };
}

async function sendAll(given: Partial<SeriesServer> = {}) {
  const to = { ...target(), ...given };
  const { ports, waits } = quickPorts();
  let lane: Lane | undefined;
  const sender = lineSender(to, { onConnectionLost: () => lane?.connectionLost() });
  lane = new Lane({
    path: journal,
    server: to,
    sender: new PickySender(sender),
    isOver: () => true,
    from: { taken: 0, settled: 0, ended: false },
    ports,
  });
  const isWhole = await lane.run(AbortSignal.timeout(50_000));
  sender.close();
  expect(isWhole).toBe(true);
  return { counts: lane.counts, waits };
}

const distinct = (all: readonly string[]): readonly string[] => [...new Set(all)].sort();
const everyLine = () => distinct(lines);

/** Answers so to the n-th request only. */
const onceAt = (n: number, answer: ReturnType<StandIn['answer']>) => {
  let count = 0;
  return () => (++count === n ? answer : TAKEN);
};

describe('a server of time series', () => {
  it('is shown the token of InfluxDB 2, and has every line once, at most four batches at a time', async () => {
    server.answer = ({ headers }) => (headers.authorization === `Token ${SECRET}` ? { status: 204, afterMs: 20 } : { status: 401 });
    const { counts } = await sendAll();
    expect(server.taken.toSorted()).toEqual(everyLine());
    expect(counts).toMatchObject({ taken: lines.length, refused: 0, problem: '' });
    expect(new Set(server.asked.map(({ path }) => path))).toEqual(new Set(['/api/v2/write?org=cold+sike&bucket=range&precision=ns']));
    const most = Math.max(...server.asked.map(({ underWay }) => underWay));
    expect(most).toBeLessThanOrEqual(IN_FLIGHT_MAX);
    expect(most).toBeGreaterThan(1);
    expect(server.asked.every(({ headers }) => headers['content-encoding'] === undefined)).toBe(true);
  });

  it('that does not know the token is told of without it, and tried again until it does', async () => {
    let refusals = 0;
    server.answer = () =>
      ++refusals > 3
        ? TAKEN
        : { status: 401, body: `{"code":"unauthorized","message":"no token ${SECRET}"}`, headers: { 'content-type': 'application/json' } };
    const sender = lineSender(target());
    const outcome = await sender.send(['m v=1 1']);
    sender.close();
    expect(outcome).toMatchObject({ what: 'later', isLost: false });
    expect(JSON.stringify(outcome)).toContain('no token');
    expect(JSON.stringify(outcome)).not.toContain('Zq9');
    await sendAll();
    expect(distinct(server.taken)).toEqual(everyLine());
  });

  it('that asks for time is given as many seconds as it asks for', async () => {
    server.answer = onceAt(2, { status: 429, headers: { 'retry-after': '7' } });
    const { waits } = await sendAll();
    expect(waits).toEqual([7_000]);
    expect(distinct(server.taken)).toEqual(everyLine());
  });

  it.each([
    ['7', 7],
    ['Wed, 21 Oct 2026 07:28:30 GMT', 30],
    ['Wed, 21 Oct 2026 07:00:00 GMT', 0],
    ['99999999', 3600],
    ['soon', undefined],
    ['-3', undefined],
  ])('may write Retry-After as %s', (text, seconds) => {
    expect(retryAfterS(text, Date.UTC(2026, 9, 21, 7, 28))).toBe(seconds);
  });

  it.each([
    ['fails inside', { status: 500 }],
    ['is behind a gateway that has lost it', { status: 502 }],
    ['cuts the connection', 'cut'],
  ] as const)('that %s, for a while, has every line all the same', async (_, answer) => {
    let count = 0;
    server.answer = () => (++count > 2 && count < 8 ? answer : TAKEN);
    const { counts, waits } = await sendAll();
    expect(distinct(server.taken)).toEqual(everyLine());
    expect(counts.problem).toBe('');
    expect(waits.length).toBeGreaterThanOrEqual(2);
  });

  it('that was lost is sent again what it had taken before', async () => {
    server.answer = onceAt(2, 'cut');
    await sendAll();
    expect(server.taken.length).toBeGreaterThan(lines.length);
    expect(distinct(server.taken)).toEqual(everyLine());
  });

  it('that refuses points has all others, and the refused ones are told with its reason', async () => {
    // By its series, and one by itself.
    const one = lines.find((line) => line.startsWith('shot,')) as string;
    const isBad = (line: string): boolean => line === one || line.startsWith('wire,');
    server.answer = ({ lines: sent }) =>
      sent.some(isBad)
        ? { status: 400, headers: { 'content-type': 'application/json' }, body: '{"code":"invalid","message":"field type conflict"}' }
        : TAKEN;
    const { counts } = await sendAll();
    expect(distinct(server.taken)).toEqual(everyLine().filter((line) => !isBad(line)));
    expect(counts.refused).toBe(lines.filter(isBad).length);
    expect(counts.refusals.length).toBeGreaterThan(0);
    expect(counts.refusals.every(({ reason }) => reason === '400 field type conflict')).toBe(true);
  });

  it('that refuses every point is not asked about each of them again and again', async () => {
    server.answer = () => ({ status: 422, body: 'outside retention' });
    const { counts } = await sendAll();
    expect(counts).toMatchObject({ taken: 0, refused: lines.length });
    expect(server.asked.length).toBeLessThan(lines.length / 4);
  });

  it('that finds batches too large is sent smaller ones', async () => {
    server.answer = ({ lines: sent }) => (sent.length > 300 ? { status: 413 } : TAKEN);
    const { counts } = await sendAll();
    expect(distinct(server.taken)).toEqual(everyLine());
    expect(counts.refused).toBe(0);
  });

  it('is asked for user and password as InfluxDB 1 and VictoriaMetrics want them, by the paths of each', async () => {
    const basic = `Basic ${Buffer.from(`heron:${SECRET}`).toString('base64')}`;
    server.answer = ({ headers }) => (headers.authorization === basic ? TAKEN : { status: 401 });
    await sendAll({ kind: 'influxdb-1', database: 'range', user: 'heron' });
    await sendAll({ kind: 'victoria-metrics', user: 'heron' });
    await sendAll({ kind: 'victoria-metrics', account: 7, readUrl: server.url, user: 'heron' });
    expect([...new Set(server.asked.map(({ path }) => path))]).toEqual([
      '/write?db=range&precision=ns',
      '/write?precision=ms',
      '/insert/7/influx/write?precision=ms',
    ]);
  });
});

it('a line names its series, whatever stands in it', () => {
  expect(seriesOf('m,a=x\\ y\\,z v="a b" 1')).toBe('m,a=x\\ y\\,z');
});
