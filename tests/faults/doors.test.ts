/** Attacks on a server that listens beyond loopback, and on its patience: by name, origin, token, rate, slowness and silence. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { networkInterfaces } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, test } from 'vitest';
import { WebSocket } from 'ws';
import {
  type CrewDesk,
  LiveFeed,
  newToken,
  type RunningServer,
  type ServerOptions,
  serverLog,
  startServer,
} from '../../host/serve/index.ts';
import { scratchFolder } from '../support/command.ts';
import { eventsBetween, openingEvents } from '../support/fake-feed.ts';
import { ask, rawSocket, sendRaw, UPGRADE, untilClosed } from '../support/raw-http.ts';

const LOOK = newToken();
const CREW = newToken();
const SECRET = 'what lies beside the pages';

let scratch: ReturnType<typeof scratchFolder>;
let pagesDir: string;
let log: string;
const toClose: { close(): Promise<void> | void }[] = [];
beforeEach(() => {
  scratch = scratchFolder();
  pagesDir = join(scratch.path, 'pages');
  mkdirSync(pagesDir);
  writeFileSync(join(pagesDir, 'index.html'), '<!doctype html><title>page</title>');
  writeFileSync(join(pagesDir, '.hidden'), SECRET);
  writeFileSync(join(scratch.path, 'host.json'), SECRET);
  log = '';
});
afterEach(async () => {
  for (const one of toClose.splice(0).reverse()) await one.close();
  scratch.remove();
});

function feedOf20s(): LiveFeed {
  const feed = new LiveFeed({ mode: 'live' });
  for (const event of [...openingEvents(), ...eventsBetween(0, 20e9)]) feed.accept(event);
  return feed;
}

async function served(more: Partial<ServerOptions> = {}): Promise<RunningServer> {
  const doors = { lookToken: LOOK, crewToken: CREW, names: ['range-host.local'] };
  const said = serverLog({
    write: (line) => {
      log += line;
    },
  });
  const server = await startServer({ feed: feedOf20s(), port: 0, host: '0.0.0.0', desk: DESK, doors, pagesDir, log: said, ...more });
  toClose.push(server);
  return server;
}

const REFUSED = { ok: false, why: 'there is no session' } as const;
const DESK: CrewDesk = {
  take: async () => ({ accepted: true }),
  shown: () => REFUSED,
  proposeZero: () => REFUSED,
  proposeCalibration: () => REFUSED,
};

const bearer = (token: string) => ({ authorization: `Bearer ${token}` });
const offering = (token: string) => ({ ...UPGRADE, 'sec-websocket-protocol': `postern.live.1, postern.token.${token}` });

test('nobody listens beyond this computer without a token to look', async () => {
  const open = { feed: new LiveFeed({ mode: 'live' }), port: 0, pagesDir };
  for (const host of ['0.0.0.0', '::', '192.168.4.2']) await expect(startServer({ ...open, host })).rejects.toThrow(RangeError);
});

describe('a server that listens beyond loopback', () => {
  it('gives its page to anybody, and everything with data in it only for a token', async () => {
    const { port } = await served();
    expect((await ask(port, '/')).status).toBe(200);
    for (const path of ['/api/state', '/api/shots', '/api/shots/x', '/api/health', '/api/channels/x', '/api/state?token=x']) {
      const answer = await ask(port, path);
      expect([path, answer.status]).toEqual([path, 401]);
      expect(answer.body).not.toContain('cs-2026');
      expect((await ask(port, path, { headers: bearer(newToken()) })).status).toBe(401);
      expect((await ask(port, path, { headers: bearer(LOOK) })).status).not.toBe(401);
      expect((await ask(port, path, { headers: bearer(CREW) })).status).not.toBe(401);
    }
    expect((await ask(port, '/api/state', { headers: bearer(LOOK) })).headers['cache-control']).toBe('no-store');
    // In the address it would be in histories and logs, so it is not taken from there.
    expect((await ask(port, `/api/state?token=${LOOK}`)).status).toBe(401);
    expect((await ask(port, '/api/acts', { method: 'POST', headers: bearer(LOOK), body: '{}' })).status).not.toBe(200);
  });

  it('opens the live line for a token among the protocols, and never says it again', async () => {
    const { port } = await served();
    expect((await ask(port, '/live', { headers: UPGRADE })).status).toBe(401);
    expect((await ask(port, '/live', { headers: offering(newToken()) })).status).toBe(401);
    expect((await ask(port, `/live?token=${LOOK}`, { headers: UPGRADE })).status).toBe(401);
    const answer = await ask(port, '/live', { headers: offering(LOOK) });
    expect(answer.status).toBe(101);
    expect(answer.headers['sec-websocket-protocol']).toBe('postern.live.1');
    expect(JSON.stringify(answer.headers)).not.toContain(LOOK);
    expect((await ask(port, '/live', { headers: { ...UPGRADE, ...bearer(CREW) } })).status).toBe(101);
  });

  it.each(['range.example', '10.11.12.13:4780', 'range-host.local.range.example', '127.0.0.1.range.example'])(
    'does not answer to %s, whatever is shown (no DNS rebinding)',
    async (host) => {
      const { port } = await served();
      for (const path of ['/', '/api/state']) expect((await ask(port, path, { headers: { host, ...bearer(CREW) } })).status).toBe(421);
      expect((await ask(port, '/live', { headers: { ...offering(CREW), host } })).status).toBe(421);
    },
  );

  it('answers to its names and to the very address that was reached, and believes no proxy', async () => {
    const { port } = await served();
    for (const host of ['range-host.local', `range-host.local:${port}`, `localhost:${port}`])
      expect((await ask(port, '/api/health', { headers: { host, ...bearer(LOOK) } })).status).toBe(200);
    const address = Object.values(networkInterfaces())
      .flatMap((all) => all ?? [])
      .find(({ internal, family }) => !internal && family === 'IPv4')?.address;
    // A computer without a network has no such address, and nothing to try.
    if (address) expect((await ask(port, '/api/health', { host: address, headers: bearer(LOOK) })).status).toBe(200);
    const forwarded = { 'x-forwarded-for': '127.0.0.1', 'x-forwarded-host': 'localhost', forwarded: 'for=127.0.0.1;host=localhost' };
    expect((await ask(port, '/api/state', { headers: forwarded })).status).toBe(401);
    expect((await ask(port, '/api/state', { headers: { ...forwarded, host: 'range.example', ...bearer(LOOK) } })).status).toBe(421);
  });

  it.each(['http://range.example', 'null', 'http://127.0.0.1:1', 'file://'])(
    'keeps out a page from %s, a token in hand',
    async (origin) => {
      const { port } = await served();
      expect((await ask(port, '/live', { headers: { ...offering(CREW), origin } })).status).toBe(403);
      expect((await ask(port, '/api/state', { headers: { ...bearer(CREW), origin } })).status).toBe(403);
      expect((await ask(port, '/api/state', { headers: { ...bearer(CREW), 'sec-fetch-site': 'cross-site' } })).status).toBe(403);
    },
  );

  it('says no token and nothing that was sent in any log or answer', async () => {
    const { port } = await served();
    const answers = [
      await ask(port, `/api/state?token=${LOOK}`, { headers: bearer(LOOK) }),
      await ask(port, `/api/${CREW}`, { headers: bearer(CREW) }),
      await ask(port, '/api/acts', { method: 'POST', headers: { ...bearer(CREW), 'content-type': 'application/json' }, body: `{"${CREW}` }),
    ].map(({ headers, body }) => JSON.stringify(headers) + body);
    for (const broken of [
      `GET /${LOOK} HTTP/9.9\r\n\r\n`,
      `GET / HTTP/1.1\r\nAuthorization: Bearer ${CREW}\r\n\x1b[2J\x9b2J\r\n\r\n`,
      `${LOOK}\x00`,
    ])
      answers.push(await sendRaw(port, broken));
    // Errors of the connection itself are what is logged.
    const socket = await rawSocket(port);
    socket.write(
      `GET /live HTTP/1.1\r\nHost: localhost\r\nConnection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\nAuthorization: Bearer ${CREW}\r\n\r\n`,
    );
    socket.write(Buffer.from([0xff, 0xff, 0x1b, 0x5b, 0x32, 0x4a]));
    answers.push(await untilClosed(socket));
    expect(log).toContain('page connection failed');
    for (const text of [log, ...answers]) {
      expect(text).not.toContain(LOOK);
      expect(text).not.toContain(CREW);
    }
    // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what must not be there
    expect(log).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f]/);
  });
});

test('nothing outside the pages’ folder is given out, however it is asked for', async () => {
  const { port } = await served();
  const up = ['..', '%2e%2e', '..%2f', '..%5c', '%252e%252e', '....//', '..;', '%c0%ae%c0%ae', './..', '..\\'];
  for (const path of [
    '/.hidden',
    '/%2ehidden',
    '/host.json',
    ...up.flatMap((step) => [`/${step}/host.json`, `/assets/${step}/${step}/host.json`, `//${step}/host.json`]),
  ]) {
    const answer = await sendRaw(port, `GET ${path} HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n`);
    expect([path, answer.slice(0, 12)]).toEqual([path, expect.stringMatching(/^HTTP\/1.1 4\d\d/)]);
    expect(answer).not.toContain(SECRET);
  }
});

describe('the server’s patience', () => {
  const hasty = { headMs: 200, requestMs: 400, idleMs: 600 };

  it.each([
    ['says nothing', ''],
    ['sends half a head', 'GET / HTTP/1.1\r\nHost: localhost\r\nX-'],
    [
      'sends half a body',
      `POST /api/acts HTTP/1.1\r\nHost: localhost\r\nAuthorization: Bearer ${CREW}\r\nContent-Type: application/json\r\nContent-Length: 50\r\n\r\n{`,
    ],
    ['keeps a connection that it does not use', 'GET / HTTP/1.1\r\nHost: localhost\r\n\r\n'],
  ])('ends with one who %s', async (_what, text) => {
    const { port } = await served({ limits: hasty });
    // Or the test's own time ends.
    await sendRaw(port, text);
    expect((await ask(port, '/')).status).toBe(200);
  });

  it('ends with one who sends a head drop by drop', async () => {
    const { port } = await served({ limits: hasty });
    const socket = await rawSocket(port);
    socket.write('GET / HTTP/1.1\r\nHost: localhost\r\n');
    const dripping = setInterval(() => socket.write('X-A: b\r\n'), 50);
    toClose.push({ close: () => clearInterval(dripping) });
    expect(await untilClosed(socket)).toMatch(/^HTTP\/1.1 408 |^$/);
  });

  it('takes no long head, address or body', async () => {
    const { port } = await served();
    expect(await sendRaw(port, `GET /${'a'.repeat(9000)} HTTP/1.1\r\nHost: localhost\r\n\r\n`)).toMatch(/^HTTP\/1.1 431 /);
    expect(await sendRaw(port, `GET / HTTP/1.1\r\nHost: localhost\r\n${'Aaaa: bbbb\r\n'.repeat(2000)}\r\n`)).toMatch(/^HTTP\/1.1 431 /);
    expect(await sendRaw(port, `GET / HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\nX: ${'a'.repeat(7000)}\r\n\r\n`)).toMatch(
      /^HTTP\/1.1 200 /,
    );
    const long = `POST /api/acts HTTP/1.1\r\nHost: localhost\r\nAuthorization: Bearer ${CREW}\r\nContent-Type: application/json\r\nContent-Length: 99999999\r\n\r\n`;
    expect(await sendRaw(port, `${long}{`)).toMatch(/^HTTP\/1.1 4\d\d /);
  });

  it('counts connections and requests, and is well again afterwards', async () => {
    const { port } = await served({ limits: { connectionsMax: 5, requests: { atOnce: 12, perS: 0 } } });
    const sockets = await Promise.all(Array.from({ length: 5 }, () => rawSocket(port)));
    expect(await sendRaw(port, 'GET / HTTP/1.1\r\nHost: localhost\r\n\r\n')).toBe('');
    for (const socket of sockets) socket.destroy();
    await Promise.all(sockets.map((socket) => untilClosed(socket)));
    const statuses: number[] = [];
    // One after the other: what was let go is heard of a moment later.
    for (let i = 0; i < 20; i += 1)
      statuses.push(
        await ask(port, '/', { headers: { connection: 'close' } }).then(
          ({ status }) => status,
          () => 0,
        ),
      );
    expect(statuses.filter((status) => status === 200)).toHaveLength(12);
    expect(statuses.at(-1)).toBe(429);
    await expect
      .poll(() =>
        ask(port, '/live', { headers: offering(LOOK) }).then(
          ({ status }) => status,
          () => 0,
        ),
      )
      .toBe(429);
  });
});

test('a page that stops reading is dropped, and holds up nobody', async () => {
  const feed = feedOf20s();
  const { port } = await served({ feed });
  const reads = new WebSocket(`ws://127.0.0.1:${port}/live`, { headers: bearer(LOOK) });
  toClose.push({ close: () => reads.terminate() });
  let heard = 0;
  reads.on('message', () => {
    heard += 1;
  });
  const deaf = await rawSocket(port);
  const head = Object.entries(offering(LOOK)).map(([name, value]) => `${name}: ${value}\r\n`);
  deaf.write(`GET /live HTTP/1.1\r\nHost: localhost\r\n${head.join('')}\r\n`);
  deaf.pause();
  const closed = untilClosedUnread(deaf);
  let isClosed = false;
  void closed.then(() => {
    isClosed = true;
  });
  // The system's own buffers fill first: some megabytes of events.
  const filler = 'x'.repeat(100_000);
  let sent = 0;
  while (!isClosed && sent < 2_000) {
    feed.accept({ type: 'note', atNs: 21e9 + sent, text: filler });
    sent += 1;
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
  expect(isClosed).toBe(true);
  expect(log).toContain('page too slow, closed');
  // The one beside it was not held up by it.
  const before = heard;
  feed.accept({ type: 'note', atNs: 30e9, text: 'still there' });
  await expect.poll(() => heard).toBeGreaterThan(before);
  expect(JSON.parse((await ask(port, '/api/health', { headers: bearer(LOOK) })).body)).toMatchObject({ pages: 1 });
});

/** A socket that is not read learns of its end only by writing. */
async function untilClosedUnread(socket: Awaited<ReturnType<typeof rawSocket>>): Promise<void> {
  const knocking = setInterval(() => socket.write(Buffer.from([0x8a, 0x80, 0, 0, 0, 0])), 50);
  await new Promise<void>((resolve) => socket.once('close', () => resolve()));
  clearInterval(knocking);
}
