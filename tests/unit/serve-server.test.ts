import { once } from 'node:events';
import { request } from 'node:http';
import { createServer } from 'node:net';
import { fileURLToPath } from 'node:url';
import { afterEach, describe, expect, it } from 'vitest';
import { WebSocket } from 'ws';
import { LiveFeed, type RunningServer, startServer } from '../../host/serve/index.ts';
import type { LiveMessage, Shot } from '../../protocol/index.ts';
import { eventsBetween, FAKE_SESSION_ID, openingEvents } from '../support/fake-feed.ts';
import { fakeShot } from '../support/fake-shot.ts';

const NO_PAGES = fileURLToPath(new URL('./no-such-folder', import.meta.url));
const toClose: { close(): Promise<void> | void }[] = [];

afterEach(async () => {
  for (const one of toClose.splice(0).reverse()) await one.close();
});

function feedOf20s(): LiveFeed {
  const feed = new LiveFeed({ mode: 'live' });
  for (const event of [...openingEvents('2026-03-14T09:30:00.000Z'), ...eventsBetween(0, 20e9)]) feed.accept(event);
  return feed;
}

async function served(feed: LiveFeed, port = 0): Promise<RunningServer> {
  const server = await startServer({ feed, port, pagesDir: NO_PAGES });
  toClose.push(server);
  return server;
}

/** fetch would not let us choose the Host header. */
function get(port: number, path: string, headers: Record<string, string> = {}, method = 'GET') {
  return new Promise<{ status: number; headers: NodeJS.Dict<string | string[]>; body: string }>((resolve, reject) => {
    const asked = request({ host: '127.0.0.1', port, path, method, headers }, (answer) => {
      let body = '';
      answer.setEncoding('utf8');
      answer.on('data', (text: string) => {
        body += text;
      });
      answer.on('end', () => resolve({ status: answer.statusCode ?? 0, headers: answer.headers, body }));
    });
    asked.on('error', reject);
    asked.end();
  });
}

/** The status that a WebSocket is turned away with. */
async function refusal(port: number, headers: Record<string, string>, path = '/live'): Promise<number> {
  const upgrade = {
    connection: 'Upgrade',
    upgrade: 'websocket',
    'sec-websocket-version': '13',
    'sec-websocket-key': 'AAAAAAAAAAAAAAAAAAAAAA==',
  };
  return (await get(port, path, { ...upgrade, ...headers })).status;
}

/** A page that keeps what it is sent. */
function page(port: number, query = '') {
  const socket = new WebSocket(`ws://127.0.0.1:${port}/live${query}`);
  const messages: LiveMessage[] = [];
  const waiting: (() => void)[] = [];
  socket.on('message', (data) => {
    messages.push(JSON.parse(String(data)) as LiveMessage);
    for (const wake of waiting.splice(0)) wake();
  });
  const until = async (wanted: (message: LiveMessage) => boolean): Promise<LiveMessage> => {
    for (;;) {
      const found = messages.find(wanted);
      if (found) return found;
      await new Promise<void>((resolve) => waiting.push(resolve));
    }
  };
  // Cutting a socket that is still connecting is an error of its own.
  socket.on('error', () => undefined);
  toClose.push({ close: () => socket.terminate() });
  return { socket, messages, until };
}

describe('the server', () => {
  it('answers the read-only API', async () => {
    const { port } = await served(feedOf20s());
    const shots = JSON.parse((await get(port, '/api/shots')).body) as Shot[];
    expect(shots.map((shot) => shot.number)).toEqual([1]);
    expect(shots[0]?.traces).toEqual([]);
    const shot = JSON.parse((await get(port, `/api/shots/${shots[0]?.id}`)).body) as Shot;
    expect(shot.traces.length).toBe(2);
    expect(JSON.parse((await get(port, '/api/state')).body)).toMatchObject({ type: 'snapshot', sessionId: FAKE_SESSION_ID });
    expect(JSON.parse((await get(port, '/api/health')).body)).toMatchObject({ status: 'ok', sessionId: FAKE_SESSION_ID });
  });

  it.each([
    ['/api/shots?limit=0', 400],
    ['/api/shots?limit=many', 400],
    ['/api/shots?limit=1&limit=2', 400],
    ['/api/shots/none', 404],
    ['/nothing', 404],
    ['/', 503],
  ])('says what is wrong with %s', async (path, status) => {
    const { port } = await served(feedOf20s());
    const answer = await get(port, path);
    expect(answer.status).toBe(status);
    expect(JSON.parse(answer.body)).toMatchObject({ code: expect.any(String), message: expect.any(String) });
  });

  it('writes nothing: other methods find nothing', async () => {
    const { port } = await served(feedOf20s());
    for (const method of ['POST', 'PUT', 'DELETE', 'PATCH']) expect((await get(port, '/api/shots', {}, method)).status).toBe(404);
  });

  it('has no state before a session, and gives it to a waiting page as soon as there is', async () => {
    const feed = new LiveFeed({ mode: 'live' });
    const { port } = await served(feed);
    expect((await get(port, '/api/state')).status).toBe(503);
    const waiting = page(port);
    await once(waiting.socket, 'open');
    for (const event of openingEvents()) feed.accept(event);
    expect((await waiting.until(() => true)).type).toBe('snapshot');
  });

  it('asks the store for what the feed no longer has, and puts the newest first', async () => {
    const old = fakeShot({ number: 7, sessionId: 'cs-2026-03-10-a', firedAtNs: -400_000e9 });
    const store = { shots: async () => [old], shot: async (id: string) => (id === old.id ? old : undefined) };
    const server = await startServer({ feed: feedOf20s(), store, port: 0, pagesDir: NO_PAGES });
    toClose.push(server);
    const shots = JSON.parse((await get(server.port, '/api/shots')).body) as Shot[];
    expect(shots.map((shot) => shot.number)).toEqual([1, 7]);
    expect(JSON.parse((await get(server.port, '/api/shots?limit=1')).body)).toHaveLength(1);
    expect(JSON.parse((await get(server.port, `/api/shots/${old.id}`)).body)).toMatchObject({ number: 7 });
  });

  it('takes the next port where one is taken, and says so', async () => {
    const squatter = createServer().listen(0, '127.0.0.1');
    await once(squatter, 'listening');
    toClose.push({ close: () => new Promise<void>((resolve) => squatter.close(() => resolve())) });
    const taken = (squatter.address() as { port: number }).port;
    const reported: number[] = [];
    const server = await startServer({ feed: feedOf20s(), port: taken, pagesDir: NO_PAGES, onPortTaken: (port) => reported.push(port) });
    toClose.push(server);
    expect(reported[0]).toBe(taken);
    expect(server.port).toBe(taken + reported.length);
    expect(server.url).toBe(`http://127.0.0.1:${server.port}/`);
  });

  it('answers to no other name, over HTTP or WebSocket', async () => {
    const { port } = await served(feedOf20s());
    expect((await get(port, '/api/state', { host: 'range.example' })).status).toBe(421);
    expect(await refusal(port, { host: 'range.example' })).toBe(421);
  });

  it('keeps pages from elsewhere away from the live feed', async () => {
    const { port } = await served(feedOf20s());
    expect(await refusal(port, { origin: 'http://range.example' })).toBe(403);
    expect(await refusal(port, {}, '/else')).toBe(404);
  });

  it('lets no script from elsewhere run in its pages', async () => {
    const { port } = await served(feedOf20s());
    const { headers } = await get(port, '/api/health');
    expect(headers['content-security-policy']).toContain("script-src 'self'");
    expect(headers['content-security-policy']).not.toContain('unsafe');
    expect(headers['x-content-type-options']).toBe('nosniff');
  });

  it('sends a snapshot, then events; a page that comes back gets what it missed', async () => {
    const feed = feedOf20s();
    const { port } = await served(feed);
    const first = page(port);
    const snapshot = await first.until((message) => message.type === 'snapshot');
    await first.until((message) => message.type === 'envelope');
    first.socket.terminate();
    const seq = Math.max(...first.messages.map((message) => ('seq' in message ? message.seq : 0)));
    feed.accept({ type: 'note', atNs: 21e9, text: 'film changed' });
    const watcher = page(port);
    await watcher.until((message) => (message.type === 'snapshot' && message.seq > seq) || message.type === 'event');
    const back = page(port, `?session=${FAKE_SESSION_ID}&since=${seq}`);
    const missed = await back.until((message) => message.type === 'event');
    expect(missed).toMatchObject({ seq: seq + 1, event: { type: 'note', text: 'film changed' } });
    expect(back.messages[0]?.type).toBe('event');
    expect(snapshot.type).toBe('snapshot');
    const unknown = page(port, '?session=other&since=1');
    expect((await unknown.until(() => true)).type).toBe('snapshot');
  });

  it('ignores what pages say, and closes one that says too much', async () => {
    const { port } = await served(feedOf20s());
    const { socket, until } = page(port);
    await once(socket, 'open');
    socket.send('{"fire":true}');
    await until((message) => message.type === 'envelope');
    socket.send('x'.repeat(1025));
    const [code] = (await once(socket, 'close')) as [number];
    expect(code).toBe(1009);
  });

  it('has room for as many pages as it was told and tells the next one why not', async () => {
    const server = await startServer({ feed: feedOf20s(), port: 0, pagesDir: NO_PAGES, limits: { clientsMax: 12 } });
    toClose.push(server);
    const { port } = server;
    const pages = Array.from({ length: 12 }, () => page(port));
    await Promise.all(pages.map(({ socket }) => once(socket, 'open')));
    const [code, reason] = (await once(page(port).socket, 'close')) as [number, Buffer];
    expect(code).toBe(4013);
    expect(String(reason)).toContain('12');
  });

  it('ends the pages in order when it closes', async () => {
    const server = await startServer({ feed: feedOf20s(), port: 0, pagesDir: NO_PAGES });
    const { socket } = page(server.port);
    await once(socket, 'open');
    const closed = once(socket, 'close');
    await server.close();
    const [code] = (await closed) as [number];
    expect(code).toBe(1001);
  });
});
