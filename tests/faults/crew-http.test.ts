/** Writing over HTTP: only with the token, only acts, only so many; what is turned away leaves no record. */
import { request } from 'node:http';
import fc from 'fast-check';
import Fastify from 'fastify';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { SessionDesk } from '../../host/cli/operator/session-desk.ts';
import { bearerOf, isToken, newToken } from '../../host/serve/access/token.ts';
import { LiveFeed, startServer } from '../../host/serve/index.ts';
import { ACT_BYTES_MAX, addActRoutes } from '../../host/serve/operator/act-routes.ts';
import { readAct } from '../../host/serve/operator/act-schema.ts';
import { scratchFolder } from '../support/command.ts';
import { type CrewHost, startCrewHost } from '../support/crew-host.ts';

let scratch: ReturnType<typeof scratchFolder>;
let host: CrewHost;
beforeEach(async () => {
  scratch = scratchFolder();
  host = await startCrewHost(scratch.path);
});
afterEach(async () => {
  await host.close();
  scratch.remove();
});

interface Answer {
  readonly status: number;
  readonly body: { readonly code?: string; readonly message?: string; readonly accepted?: boolean; readonly why?: string };
}

/** fetch would not let us choose Host and Origin. */
function post(port: number, body: string | Buffer, headers: Record<string, string>): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const asked = request({ host: '127.0.0.1', port, path: '/api/acts', method: 'POST', headers }, (answer) => {
      let text = '';
      answer.setEncoding('utf8').on('data', (piece: string) => {
        text += piece;
      });
      answer.on('end', () => resolve({ status: answer.statusCode ?? 0, body: JSON.parse(text) as Answer['body'] }));
    });
    asked.on('error', reject);
    asked.end(body);
  });
}

const json = (more: Record<string, string> = {}): Record<string, string> => ({
  authorization: `Bearer ${host.token}`,
  'content-type': 'application/json',
  ...more,
});
const acts = () => host.records.filter(({ kind }) => kind === 'operator');
const NOTE = { act: 'note', text: 'film changed', who: 'Ane' };

test('an act with the token is in the journal, and the journal on disk, before it is answered', async () => {
  expect(await post(host.port, JSON.stringify(NOTE), json())).toEqual({ status: 200, body: { accepted: true } });
  expect(acts()).toMatchObject([{ kind: 'operator', source: 'operator', value: NOTE }]);
  expect(host.syncs()).toBe(1);
  expect(host.events).toContainEqual(expect.objectContaining({ type: 'note', text: 'film changed' }));
  const refused = await post(host.port, JSON.stringify({ act: 'hold-point', holdPointId: 'no-such', done: true, who: 'Ane' }), json());
  expect(refused).toMatchObject({ status: 200, body: { accepted: false, why: expect.stringContaining('no-such') } });
});

test('a disk that refuses is told, not hidden', async () => {
  host.breakDisk();
  expect(await post(host.port, JSON.stringify(NOTE), json())).toMatchObject({ status: 500, body: { code: 'not-kept' } });
});

describe('is turned away without a record', () => {
  test.each<[string, () => Record<string, string>, number]>([
    ['no token', () => ({ 'content-type': 'application/json' }), 401],
    ['another token', () => json({ authorization: `Bearer ${newToken()}` }), 401],
    ['the token with one character more', () => json({ authorization: `Bearer ${host.token}A` }), 401],
    ['the token by another scheme', () => json({ authorization: `Basic ${host.token}` }), 401],
    ['a page from elsewhere, the token in hand', () => json({ origin: 'http://range.example' }), 403],
    ['a page from another port of this computer', () => json({ origin: 'http://127.0.0.1:1' }), 403],
    ['a page without a name', () => json({ origin: 'null' }), 403],
    ['what a browser calls another site', () => json({ 'sec-fetch-site': 'cross-site' }), 403],
    ['another host name', () => json({ host: 'range.example' }), 421],
    ['a form, which any page may send', () => json({ 'content-type': 'application/x-www-form-urlencoded' }), 415],
    ['plain text, which any page may send', () => json({ 'content-type': 'text/plain' }), 415],
  ])('%s', async (_what, headers, status) => {
    const answer = await post(host.port, JSON.stringify(NOTE), headers());
    expect(answer).toMatchObject({ status, body: { code: expect.any(String), message: expect.any(String) } });
    expect(acts()).toEqual([]);
  });

  test('its own page is not', async () => {
    const own = json({ origin: `http://127.0.0.1:${host.port}`, host: `127.0.0.1:${host.port}`, 'sec-fetch-site': 'same-origin' });
    expect((await post(host.port, JSON.stringify(NOTE), own)).status).toBe(200);
  });

  test('a body that is too large, told by its head or found in its length', async () => {
    const large = JSON.stringify({ ...NOTE, text: 'x'.repeat(ACT_BYTES_MAX) });
    expect(await post(host.port, large, json())).toMatchObject({ status: 413, body: { code: 'too-large' } });
    expect(await post(host.port, large, json({ 'transfer-encoding': 'chunked' }))).toMatchObject({ status: 413 });
    expect(acts()).toEqual([]);
  });

  test('what is no JSON, or would reach into prototypes', async () => {
    for (const body of ['', '{', '\0', '{"__proto__": {"act": "note"}}', '{"constructor": {"prototype": {}}}', Buffer.from([0xff, 0xfe])])
      expect(await post(host.port, body, json())).toMatchObject({ status: 400 });
    expect(acts()).toEqual([]);
  });
});

test('only what is an act in every part is let through', () => {
  const none = { gain: 1, offsetSi: 0 };
  const zero = { act: 'zero', channel: 'c', shouldReadSi: 0, before: none, after: none, who: 'Ane' };
  expect(readAct(zero)).toEqual({ ok: true, act: zero });
  const bad: readonly unknown[] = [
    null,
    [],
    'note',
    {},
    { act: 'fire', who: 'Ane' },
    { ...zero, who: '' },
    { ...zero, who: '   ' },
    { ...zero, who: 'A'.repeat(41) },
    { ...zero, who: 'Ane\u001b[2J' },
    { ...zero, who: 'A\u202ene' },
    { ...zero, who: 'A\ud800' },
    { ...zero, shouldReadSi: Number.POSITIVE_INFINITY },
    { ...zero, shouldReadSi: Number.NaN },
    { ...zero, shouldReadSi: '0' },
    { ...zero, shouldReadSi: 1e300 },
    { ...zero, after: { ...none, more: 1 } },
    { ...zero, extra: 1 },
    { act: 'calibrate', channel: 'c', points: [{ readSi: 0, shouldReadSi: 0 }], before: none, after: none, who: 'Ane' },
    { act: 'hold-point', holdPointId: 'h', done: 'yes', who: 'Ane' },
    { act: 'note', text: 'x'.repeat(1001) },
    { act: 'exclude', shotId: 's', excluded: true, reason: ' ', who: 'Ane' },
  ];
  for (const body of bad)
    expect(readAct(body), JSON.stringify(body)).toMatchObject({ ok: false, why: expect.stringMatching(/^[^\n]{5,160}$/) });
});

test('whatever JSON comes, it is an act or a sentence, and the sentence repeats nothing of it', () => {
  fc.assert(
    fc.property(fc.jsonValue(), fc.string({ minLength: 12 }), (body, secret) => {
      const wrapped = typeof body === 'object' && body !== null ? { ...body, act: 'note', [secret]: secret } : body;
      for (const each of [body, wrapped]) {
        const read = readAct(each);
        if (!read.ok) expect(read.why).not.toContain(secret);
        else expect(Object.keys(read.act)).toContain('act');
      }
    }),
  );
});

test('a token is only itself', () => {
  fc.assert(
    fc.property(fc.base64String(), fc.string(), (other, header) => {
      const token = newToken();
      expect(token).toMatch(/^[\w-]{43}$/);
      const isBearer = (authorization: string | undefined) => isToken(bearerOf({ authorization }), token);
      expect(isBearer(`Bearer ${token}`)).toBe(true);
      expect(isBearer(`Bearer ${other}`)).toBe(false);
      expect(isBearer(header)).toBe(false);
      expect(isBearer(undefined)).toBe(false);
    }),
  );
});

test('a storm of acts is stopped at thirty, and five a second go on', async () => {
  let nowMs = 0;
  const app = Fastify();
  const desk = new SessionDesk(() => 0);
  addActRoutes(app, { desk, nowMs: () => nowMs });
  const statuses = async (count: number): Promise<readonly number[]> => {
    const headers = { 'content-type': 'application/json' };
    const sent = Array.from({ length: count }, () => app.inject({ method: 'POST', url: '/api/acts', headers, payload: NOTE }));
    return (await Promise.all(sent)).map(({ statusCode }) => statusCode);
  };
  expect((await statuses(60)).filter((status) => status === 200)).toHaveLength(30);
  nowMs += 1000;
  expect((await statuses(60)).filter((status) => status === 200)).toHaveLength(5);
  nowMs += 3_600_000;
  expect((await statuses(60)).filter((status) => status === 429)).toHaveLength(30);
  await app.close();
});

test('nothing can be written into a replay', async () => {
  const server = await startServer({ feed: new LiveFeed({ mode: 'replay' }), port: 0, pagesDir: '/nonexistent' });
  try {
    expect(await post(server.port, JSON.stringify(NOTE), json())).toMatchObject({ status: 403, body: { code: 'not-live' } });
  } finally {
    await server.close();
  }
});

test.each([
  ['/api/channels/nothing', 409],
  ['/api/channels/barrelPressure', 409],
  ['/api/channels/barrelPressure/zero', 400],
  ['/api/channels/barrelPressure/zero?should=0&should=1', 400],
  ['/api/channels/barrelPressure/zero?should=1e999', 400],
  ['/api/channels/barrelPressure/zero?should=0x10', 400],
  ['/api/channels/barrelPressure/calibration?point=1,2', 400],
  ['/api/channels/barrelPressure/calibration?point=1,2&point=3', 400],
  ['/api/channels/__proto__', 409],
])('what cannot be proposed is said: %s', async (path, status) => {
  const answer = await fetch(new URL(path, host.url));
  expect(answer.status).toBe(status);
  expect(await answer.json()).toMatchObject({ code: expect.any(String), message: expect.any(String) });
});
