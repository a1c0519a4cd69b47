/** The map over HTTP: hostile questions, the thread that works it out, and its end. */
import { tmpdir } from 'node:os';
import { afterEach, expect, it } from 'vitest';
import { SessionMapDesk } from '../../host/cli/map/session-map-desk.ts';
import { LiveFeed, MapBusyError, type MapDesk, type RunningServer, startServer } from '../../host/serve/index.ts';
import type { MapFill, MapReport, MapSource } from '../../protocol/index.ts';
import { campaignSources, deskOf, SESSIONS } from '../support/campaigns/map-sources.ts';

const closing: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0)) await close();
});

async function serve(maps?: MapDesk): Promise<RunningServer> {
  const server = await startServer({ feed: new LiveFeed({ mode: 'live' }), port: 0, pagesDir: tmpdir(), ...(maps ? { maps } : {}) });
  closing.push(() => server.close());
  return server;
}

const get = async ({ url }: RunningServer, path: string): Promise<{ readonly status: number; readonly body: unknown }> => {
  const answer = await fetch(new URL(path, url));
  return { status: answer.status, body: await answer.json() };
};

it('takes plain numbers in their bounds, and refuses all else in one sentence', async () => {
  const server = await serve(deskOf(campaignSources(3)));
  expect(await get(server, '/api/map/expected?reservoirPa=1000000&barrelPa=5000')).toMatchObject({
    status: 200,
    body: { kind: 'expected' },
  });
  expect(await get(server, '/api/map/fill?velocityMps=350&barrelPa=5000&gasK=290&airK=285')).toMatchObject({
    status: 200,
    body: { kind: 'fill' },
  });
  expect(await get(server, '/api/map/shots/campaign-003')).toMatchObject({ status: 200, body: { shotId: 'campaign-003' } });
  for (const path of [
    '/api/map/expected',
    '/api/map/expected?reservoirPa=1000000',
    '/api/map/expected?reservoirPa=-1&barrelPa=5000',
    '/api/map/expected?reservoirPa=1e6&barrelPa=5000',
    '/api/map/expected?reservoirPa=NaN&barrelPa=5000',
    '/api/map/expected?reservoirPa=1000000&reservoirPa=2000000&barrelPa=5000',
    '/api/map/expected?reservoirPa=1000000&barrelPa=0',
    '/api/map/expected?reservoirPa=1000000&barrelPa=5000&gasK=hot',
    '/api/map/fill?velocityMps=99999999&barrelPa=5000',
    `/api/map/fill?velocityMps=${'9'.repeat(500)}&barrelPa=5000`,
  ]) {
    expect(await get(server, path), path).toMatchObject({ status: 400, body: { code: 'bad-question' } });
  }
});

it('a host without maps, and a shot that no map has, answer null', async () => {
  const without = await serve();
  for (const path of ['/api/map', '/api/map/sources', '/api/map/shots/1', '/api/map/expected?reservoirPa=1000000&barrelPa=5000'])
    expect(await get(without, path)).toEqual({ status: 200, body: null });
  expect(await get(await serve(deskOf(campaignSources(3))), '/api/map/shots/campaign-999%22')).toEqual({ status: 200, body: null });
});

it('says that it is busy where too many wait, and when to come again', async () => {
  const busy = () => Promise.reject(new MapBusyError('too many'));
  const server = await serve({ sources: busy, report: busy, expected: busy, fillFor: busy });
  const answer = await fetch(new URL('/api/map', server.url));
  expect([answer.status, answer.headers.get('retry-after')]).toEqual([503, '2']);
});

it('works the map out in a thread of its own, anew when a shot has come or was left out, and not otherwise', async () => {
  let shots: readonly MapSource[] = campaignSources(5);
  let nowMs = 0;
  const store = {
    mapShots: async () => shots,
    sessions: async () => SESSIONS,
  };
  const desk = new SessionMapDesk(store, () => nowMs);
  closing.push(() => desk.close());
  const [first, again] = await Promise.all([desk.report(), desk.report()]);
  expect(again).toBe(first);
  expect(first).toEqual(JSON.parse(JSON.stringify(await deskOf(shots).report())) as MapReport);
  expect(await desk.fillFor({ velocityMps: 350, barrelPressurePa: 5e3 })).toEqual(
    (await deskOf(shots).fillFor({ velocityMps: 350, barrelPressurePa: 5e3 })) satisfies MapFill,
  );
  const [newest, ...rest] = shots as [MapSource, ...MapSource[]];
  shots = [{ ...newest, exclusion: { reason: 'film torn', who: 'Wren' } }, ...rest];
  nowMs += 1_000;
  const after = await desk.report();
  expect(after.kinds[0]?.points).toHaveLength(11);
  expect(after.kinds[0]?.leftOut).toEqual([{ shotId: newest.id, why: 'left out by Wren: film torn' }]);
  await desk.close();
  await expect(desk.expected({ reservoirPressurePa: 1e6, barrelPressurePa: 5e3 })).rejects.toBeInstanceOf(Error);
});
