import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Access, type Right } from '../../host/serve/access/access.ts';
import { Callers } from '../../host/serve/access/callers.ts';
import { answersTo } from '../../host/serve/access/host-name.ts';
import { SERVE_LIMITS } from '../../host/serve/access/limits.ts';
import { isOwnOrigin } from '../../host/serve/access/origin.ts';
import { liveTokenOf, newToken } from '../../host/serve/access/token.ts';

const NONE = new Set<string>();

describe('by what name this host may be asked', () => {
  it.each(['127.0.0.1', '127.0.0.1:4850', 'localhost', 'LOCALHOST:80', '[::1]:4850'])('answers to %s', (host) => {
    expect(answersTo(host, '127.0.0.1', NONE)).toBe(true);
  });

  it.each([
    undefined,
    '',
    'range.example',
    'range.example:4850',
    '127.0.0.1.range.example',
    'localhost.range.example:4850',
    '127.0.0.1:4850@range.example',
    '127.0.0.1, range.example',
    '192.168.1.7:4850',
    '[::1',
    '::1',
    'localhost:',
  ])('does not answer to %s', (host) => {
    expect(answersTo(host, '127.0.0.1', NONE)).toBe(false);
  });

  it.each([
    ['192.168.4.2:4780', '192.168.4.2'],
    ['192.168.4.2', '::ffff:192.168.4.2'],
    ['[FD00:0:0::2]:4780', 'fd00::2'],
    ['[fe80::1]', 'fe80::1%eth0'],
  ])('answers to %s where the connection came to %s', (host, localAddress) => {
    expect(answersTo(host, localAddress, NONE)).toBe(true);
    expect(answersTo(host, '10.0.0.1', NONE)).toBe(false);
  });

  it('answers to the names that it was given, and to none that only ends or begins like one', () => {
    const names = new Access({ names: ['Range-Host.local'] }).names;
    expect(answersTo('range-host.LOCAL:4780', '192.168.4.2', names)).toBe(true);
    for (const host of ['local', 'range-host', 'x.range-host.local', 'range-host.local.range.example'])
      expect(answersTo(host, '192.168.4.2', names)).toBe(false);
  });

  it('answers to nothing that anybody makes up', () => {
    fc.assert(
      fc.property(fc.oneof(fc.string({ unit: 'binary' }), fc.domain(), fc.webAuthority()), (host) => {
        fc.pre(!/^(localhost|127\.0\.0\.1|\[::1\])(:\d{1,5})?$/i.test(host));
        expect(answersTo(host, undefined, NONE)).toBe(false);
      }),
    );
  });
});

describe('from where it may be asked', () => {
  it('lets its own pages in, and programs without an origin', () => {
    expect(isOwnOrigin('http://127.0.0.1:4850', '127.0.0.1:4850')).toBe(true);
    expect(isOwnOrigin(undefined, '127.0.0.1:4850')).toBe(true);
  });

  it.each(['http://range.example', 'http://127.0.0.1:4851', 'https://127.0.0.1:4850', 'null', 'http://localhost:4850'])(
    'keeps out a page from %s',
    (origin) => {
      expect(isOwnOrigin(origin, '127.0.0.1:4850')).toBe(false);
    },
  );

  it('takes https only by a name before which TLS may stand', () => {
    expect(isOwnOrigin('https://range-host.local', 'range-host.local', new Set(['range-host.local']))).toBe(true);
    expect(isOwnOrigin('https://range-host.local', 'range-host.local')).toBe(false);
  });
});

describe('what may be done with which token', () => {
  const [lookToken, crewToken] = [newToken(), newToken()];
  const head = (token?: string, more = {}) => ({ host: 'localhost', ...(token ? { authorization: `Bearer ${token}` } : {}), ...more });
  const status = (access: Access, right: Right, headers: ReturnType<typeof head>) => access.refusal(right, headers)?.status;

  it('on loopback: anybody looks, and only the crew writes', () => {
    const access = new Access({ crewToken });
    expect(status(access, 'look', head())).toBeUndefined();
    expect(status(access, 'write', head())).toBe(401);
    expect(status(access, 'write', head(crewToken))).toBeUndefined();
    expect(status(access, 'look', head(undefined, { origin: 'http://range.example' }))).toBe(403);
    expect(status(access, 'look', head(undefined, { 'sec-fetch-site': 'same-site' }))).toBe(403);
  });

  it('beyond it: the token to look does not write, the crew’s does both, and nothing else does anything', () => {
    const access = new Access({ lookToken, crewToken });
    expect(status(access, 'open', head())).toBeUndefined();
    expect(status(access, 'look', head())).toBe(401);
    expect(status(access, 'look', head(lookToken))).toBeUndefined();
    expect(status(access, 'look', head(crewToken))).toBeUndefined();
    expect(status(access, 'write', head(lookToken))).toBe(401);
    fc.assert(
      fc.property(
        fc.oneof(
          fc.string(),
          fc.string({ unit: fc.constantFrom(...lookToken) }),
          fc.nat(42).map((n) => lookToken.slice(0, n)),
        ),
        (other) => {
          for (const right of ['look', 'write'] as const) expect(status(access, right, head(other))).toBe(401);
        },
      ),
    );
  });

  it('without a crew’s token nobody writes', () => {
    for (const shown of [undefined, '', 'undefined', lookToken]) expect(status(new Access({ lookToken }), 'write', head(shown))).toBe(401);
  });

  it('a page shows its token among the protocols of its WebSocket, a program in a header', () => {
    expect(liveTokenOf({ 'sec-websocket-protocol': `postern.live.1, postern.token.${lookToken}` })).toBe(lookToken);
    expect(liveTokenOf({ authorization: `Bearer ${lookToken}` })).toBe(lookToken);
    expect(liveTokenOf({ 'sec-websocket-protocol': lookToken })).toBeUndefined();
  });
});

describe('how often', () => {
  const few = {
    ...SERVE_LIMITS,
    requests: { atOnce: 20, perS: 2 },
    requestsPerAddress: { atOnce: 5, perS: 1 },
    connectionsMax: 6,
    connectionsPerAddressMax: 2,
  };

  it('one address that goes wild leaves the others their share', () => {
    let nowMs = 0;
    const callers = new Callers(few, () => nowMs);
    const asked = (address: string, count: number) => Array.from({ length: count }, () => callers.mayAsk(address)).filter(Boolean).length;
    expect(asked('192.168.4.9', 1000)).toBe(5);
    expect(asked('::ffff:192.168.4.9', 1000)).toBe(0);
    expect(asked('192.168.4.10', 3)).toBe(3);
    // Whoever has one address of an IPv6 network has them all.
    expect(asked('2001:db8:1:2::1', 1000) + asked('2001:db8:1:2:ffff::9', 1000)).toBe(5);
    expect(asked('127.0.0.1', 1000)).toBe(7);
    nowMs += 1000;
    expect(asked('192.168.4.9', 1000)).toBe(1);
  });

  it('connections are counted, let go, and those of this computer have room of their own', () => {
    const callers = new Callers(few, () => 0);
    const open = (address: string, count: number) =>
      Array.from({ length: count }, () => callers.connect(address)).filter((release) => release !== undefined);
    const first = open('192.168.4.9', 10);
    expect(first).toHaveLength(2);
    expect(open('192.168.4.10', 10)).toHaveLength(2);
    expect(open('192.168.4.11', 10)).toHaveLength(2);
    expect(open('192.168.4.12', 10)).toHaveLength(0);
    expect(open('127.0.0.1', 10)).toHaveLength(6);
    first[0]?.();
    expect(open('192.168.4.12', 10)).toHaveLength(1);
  });

  it('remembers no more addresses than it has room for', () => {
    const callers = new Callers(few, () => 0);
    for (let i = 0; i < 5000; i += 1) callers.mayAsk(`10.${i >> 16}.${(i >> 8) & 255}.${i & 255}`);
    expect(callers.addressesKept).toBe(1024);
  });
});
