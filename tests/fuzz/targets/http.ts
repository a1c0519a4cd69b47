/** What comes in over HTTP: any head, any address, any body, with the token and without; acts into a session with its pipeline. */
import fc from 'fast-check';
import { scratchFolder } from '../../support/command.ts';
import { startCrewHost } from '../../support/crew-host.ts';
import { ask, sendRaw } from '../../support/raw-http.ts';
import { type Edit, edited, editsArbitrary } from '../damage.ts';
import type { FuzzTarget } from '../target.ts';

type Input =
  | { readonly as: 'raw'; readonly text: string; readonly edits: readonly Edit[] }
  | { readonly as: 'get'; readonly path: string; readonly headers: Readonly<Record<string, string>> }
  | { readonly as: 'act'; readonly body: string; readonly edits: readonly Edit[] };

const word = fc.oneof(
  fc.constantFrom(
    'barrelPressure',
    'reservoirPressure',
    'bore',
    'maximum-fill',
    'cs-crew-1',
    '__proto__',
    'constructor',
    'toString',
    '..',
    '%00',
    '%2e%2e%2f',
    '%',
  ),
  fc.string({ maxLength: 20 }),
  fc.string({ unit: 'binary', maxLength: 20 }),
);
const path = fc.oneof(
  fc
    .array(
      fc.oneof(fc.constantFrom('api', 'shots', 'state', 'channels', 'health', 'acts', 'live', 'zero', 'calibration', '', '.', '..'), word),
      { maxLength: 5 },
    )
    .map((steps) => `/${steps.join('/')}`),
  fc.constantFrom(
    '/api/channels/barrelPressure/zero?should=',
    '/api/channels/barrelPressure/calibration?point=1,2&point=',
    '/api/shots?limit=',
    '/api/map/expected?barrelPa=5000&reservoirPa=',
    '/api/map/fill?velocityMps=300&barrelPa=',
  ),
);
const query = fc.oneof(fc.constant(''), word, fc.constantFrom('0', '1e308', '-1e12,5', '&limit=2', '[]=1', '__proto__[x]=1'));
const SAFE = /[^\x21-\x7e]/g;
const head = /[^\t\x20-\x7e\x80-\xff]/g;

const number = fc.oneof(fc.double(), fc.integer(), fc.constantFrom(0, -0, 1e12, -1e12, 1e300));
const adjustment = fc.record({ gain: number, offsetSi: number });
const at = fc.record({ rightM: number, upM: number });
const act = fc.record(
  {
    act: fc.oneof(
      fc.constantFrom('note', 'acknowledge', 'hold-point', 'zero', 'calibrate', 'aim', 'impact', 'exclude', 'weigh', 'withdraw-track'),
      word,
    ),
    text: word,
    who: word,
    shotId: word,
    limitId: word,
    holdPointId: word,
    channel: word,
    done: fc.boolean(),
    excluded: fc.boolean(),
    reason: word,
    shouldReadSi: number,
    points: fc.array(fc.record({ readSi: number, shouldReadSi: number }), { maxLength: 3 }),
    before: adjustment,
    after: adjustment,
    at,
    mass: fc.record({ valueKg: number, standardUncertaintyKg: number }),
  },
  { requiredKeys: ['act', 'who'] },
);
/** Of the right keys and no other, so that some get past the first check. */
const KEYS: Readonly<Record<string, readonly string[]>> = {
  note: ['text', 'shotId', 'who'],
  acknowledge: ['limitId', 'who'],
  'hold-point': ['holdPointId', 'done', 'who'],
  zero: ['channel', 'shouldReadSi', 'before', 'after', 'who'],
  calibrate: ['channel', 'points', 'before', 'after', 'who'],
  aim: ['at', 'who'],
  impact: ['shotId', 'at', 'who'],
  exclude: ['shotId', 'excluded', 'reason', 'who'],
  weigh: ['shotId', 'mass', 'reason', 'who'],
  'withdraw-track': ['shotId', 'camera', 'withdrawn', 'reason', 'who'],
};
const keysOf = (act: string): readonly string[] | undefined => (Object.hasOwn(KEYS, act) ? KEYS[act] : undefined);
const onlyItsKeys = (given: Record<string, unknown>): Record<string, unknown> =>
  Object.fromEntries(Object.entries(given).filter(([key]) => key === 'act' || (keysOf(String(given.act)) ?? [key]).includes(key)));

const RAW = [
  'GET /api/state HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n',
  'POST /api/acts HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\nConnection: close\r\n\r\n5\r\n{"a":\r\n0\r\n\r\n',
  'GET /live HTTP/1.1\r\nHost: localhost\r\nConnection: Upgrade\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n',
];

const inputs: fc.Arbitrary<Input> = fc.oneof(
  fc.record({
    as: fc.constant('raw' as const),
    text: fc.constantFrom(...RAW),
    edits: editsArbitrary([
      '\r\n',
      '\n',
      '\0',
      ' ',
      'HTTP/1.1',
      'Content-Length: 5\r\n',
      'Host: localhost\r\n',
      'Expect: 100-continue\r\n',
      'x'.repeat(9_000),
      'Connection: close\r\n',
    ]),
  }),
  fc.record({
    as: fc.constant('get' as const),
    path: fc.tuple(path, query).map(([where, what]) => `${where}${what}`.replace(SAFE, '~')),
    headers: fc.dictionary(
      fc.constantFrom(
        'host',
        'origin',
        'authorization',
        'content-type',
        'accept',
        'range',
        'if-none-match',
        'if-modified-since',
        'cookie',
        'x-forwarded-for',
        'sec-fetch-site',
        'accept-encoding',
      ),
      fc
        .oneof(word, fc.constantFrom('localhost', 'bytes=0-', 'bytes=-1', 'bytes=9-1', 'Bearer ', 'null'))
        .map((text) => text.replace(head, '~')),
      { maxKeys: 4 },
    ),
  }),
  fc.record({
    as: fc.constant('act' as const),
    body: fc.oneof(
      act.map((given) => JSON.stringify(onlyItsKeys(given))),
      fc.json({ maxDepth: 20 }),
    ),
    edits: fc.oneof(
      { weight: 3, arbitrary: fc.constant([]) },
      editsArbitrary(['{', '}', '[', ']', '"', ':', ',', '"__proto__":', '\\u0000', '1e999', '['.repeat(3_000)]),
    ),
  }),
);

let made: { readonly host: Awaited<ReturnType<typeof startCrewHost>>; readonly scratch: ReturnType<typeof scratchFolder> } | undefined;

async function hostOf() {
  if (made) return made.host;
  const scratch = scratchFolder();
  const endless = { atOnce: 1e9, perS: 1e9 };
  const host = await startCrewHost(scratch.path, {
    limits: { requests: endless, headMs: 300, requestMs: 400, idleMs: 500 },
    acts: endless,
  });
  host.feed(3, { temperature: 285.2, pressure: 98_200, humidity: 0.61, A0: 3083 });
  made = { host, scratch };
  return host;
}

export const http: FuzzTarget = {
  name: 'http',
  inputs,
  async feed(input: Input) {
    const host = await hostOf();
    const { port, token } = host;
    if (input.as === 'raw') {
      const answer = await sendRaw(port, edited(Buffer.from(input.text, 'latin1'), input.edits), true);
      if (/^HTTP\/1\.1 5/.test(answer)) throw new Error(`answered ${answer.slice(0, 40)}`);
    } else {
      const answer =
        input.as === 'get'
          ? await ask(port, input.path, { headers: input.headers })
          : await ask(port, '/api/acts', {
              method: 'POST',
              headers: { authorization: `Bearer ${token}`, 'content-type': 'application/json' },
              body: edited(Buffer.from(input.body, 'utf8'), input.edits).toString('utf8'),
            });
      // 503 says that no pages are built, which is so here.
      if (answer.status >= 500 && answer.status !== 503) throw new Error(`answered ${answer.status} ${answer.body}`);
    }
    // It lives, and the test itself keeps nothing of what was taken.
    if ((await ask(port, '/api/health')).status !== 200) throw new Error('the server is no longer well');
    host.records.length = 0;
    host.events.length = 0;
  },
  async close() {
    await made?.host.close();
    made?.scratch.remove();
    made = undefined;
  },
};
