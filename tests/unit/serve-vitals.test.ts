/** `/healthz` and `/metrics`: what they say, and that a collector can read it. */
import fc from 'fast-check';
import { afterEach, describe, expect, it } from 'vitest';
import { judge } from '../../host/cli/vitals/health.ts';
import { type HostHealth, LiveFeed, type MetricFamily, type RunningServer, startServer } from '../../host/serve/index.ts';
import { openMetricsText } from '../../host/serve/vitals/open-metrics.ts';
import { readOpenMetrics } from '../support/open-metrics.ts';

const name = fc.stringMatching(/^[a-z][a-z0-9_]{0,10}[a-z]$/);
const label = fc.stringMatching(/^[a-z_][a-z0-9_]{0,10}$/);
// A line by itself cannot hold half a character, whatever is escaped.
const anyText = fc.string({ unit: 'grapheme', maxLength: 20 });
const family: fc.Arbitrary<MetricFamily> = fc
  .record({
    base: name,
    type: fc.constantFrom('counter' as const, 'gauge' as const),
    unit: fc.constantFrom('', 'seconds', 'bytes'),
    help: anyText,
    samples: fc.uniqueArray(
      fc.record({
        labels: fc.dictionary(label, anyText, { maxKeys: 3, noNullPrototype: true }),
        value: fc.double({ min: 0, max: 1e300, noNaN: true }),
      }),
      { selector: ({ labels }) => JSON.stringify(Object.entries(labels).sort()), maxLength: 5 },
    ),
  })
  .filter(({ base }) => !base.endsWith('_total'))
  .map(({ base, unit, ...rest }) => ({ ...rest, unit, name: unit === '' ? base : `${base}_${unit}` }));

describe('OpenMetrics text', () => {
  it('is read back as it was written, whatever stands in labels and help', () => {
    fc.assert(
      fc.property(fc.uniqueArray(family, { selector: (each) => each.name, maxLength: 5 }), (families) => {
        const read = readOpenMetrics(openMetricsText(families));
        expect(read).toEqual(
          families.map(({ name: own, type, unit, help, samples }) => ({
            name: own,
            type,
            unit,
            help,
            samples: samples.map(({ labels = {}, value }) => ({ name: type === 'counter' ? `${own}_total` : own, labels, value })),
          })),
        );
      }),
    );
  });

  it('has a word for what is no number', () => {
    const samples = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY].map((value, i) => ({
      labels: { i: String(i) },
      value,
    }));
    const [read] = readOpenMetrics(openMetricsText([{ name: 'a', type: 'gauge', unit: '', help: '', samples }]));
    expect(read?.samples.map(({ value }) => value)).toEqual([Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]);
  });

  it.each<[string, Partial<MetricFamily>]>([
    ['a name with a gap', { name: 'a b' }],
    ['a counter named as its sample is', { name: 'a_total' }],
    ['a unit that is not in the name', { unit: 'seconds' }],
    ['a label that is no name', { samples: [{ labels: { 'a-b': '' }, value: 1 }] }],
    ['a counter that counts down', { type: 'counter', samples: [{ value: -1 }] }],
  ])('refuses %s', (_what, wrong) => {
    expect(() => openMetricsText([{ name: 'a', type: 'gauge', unit: '', help: '', samples: [], ...wrong }])).toThrow(RangeError);
  });
});

const WELL = {
  sessionId: 'S',
  uptimeS: 10,
  journal: { writing: true, sinceSyncS: 0.3, unsyncedBytes: 10, recordsLost: 0 },
  journalProblem: '',
  linksUp: ['gates'],
  linksDown: [],
  store: { rowsWaiting: 3, rowsDropped: 0 },
  eventLoopDelayS: { mean: 0.001, p99: 0.01, max: 0.1 },
};

describe('health', () => {
  it.each<[string, Partial<typeof WELL>, HostHealth['status'], RegExp]>([
    ['all is well', {}, 'ok', /^$/],
    ['a link is down', { linksDown: ['wind'] as never }, 'degraded', /wind/],
    ['the store lost rows', { store: { rowsWaiting: 0, rowsDropped: 4 } }, 'degraded', /4 rows/],
    ['the disk refuses', { journal: { ...WELL.journal, writing: false }, journalProblem: 'ENOSPC' }, 'failing', /ENOSPC/],
    ['records are lost', { journal: { ...WELL.journal, recordsLost: 7 } }, 'failing', /7 records/],
    ['no sync for long', { journal: { ...WELL.journal, sinceSyncS: 6 } }, 'failing', /6\.0 s ago/],
    ['the host is too slow', { eventLoopDelayS: { mean: 0.4, p99: 0.9, max: 2 } }, 'failing', /0\.90 s late/],
  ])('where %s', (_what, change, status, reason) => {
    const health = judge({ ...WELL, ...change });
    expect(health.status).toBe(status);
    expect(health.reasons.join(' ')).toMatch(reason);
    expect(health).not.toHaveProperty('journalProblem');
  });
});

describe('the routes', () => {
  let server: RunningServer | undefined;
  afterEach(() => server?.close());

  it('answer 200 while what arrives is kept and 503 where it may not be', async () => {
    let health = judge(WELL);
    const vitals = { health: () => health, metrics: () => [] };
    server = await startServer({ feed: new LiveFeed({ mode: 'live' }), port: 0, pagesDir: '/nowhere', vitals });
    const ask = async (): Promise<readonly [number, unknown]> => {
      const answer = await fetch(new URL('healthz', server?.url));
      return [answer.status, await answer.json()];
    };
    expect(await ask()).toEqual([200, health]);
    health = judge({ ...WELL, journal: { ...WELL.journal, writing: false } });
    expect(await ask()).toEqual([503, health]);
  });

  it('answer a replay too, which has no session to be well', async () => {
    server = await startServer({ feed: new LiveFeed({ mode: 'replay' }), port: 0, pagesDir: '/nowhere' });
    expect((await fetch(new URL('healthz', server.url))).status).toBe(200);
    const metrics = await fetch(new URL('metrics', server.url));
    expect(metrics.headers.get('content-type')).toBe('application/openmetrics-text; version=1.0.0; charset=utf-8');
    expect(readOpenMetrics(await metrics.text()).find(({ name: own }) => own === 'postern_viewers')?.samples[0]?.value).toBe(0);
  });
});
