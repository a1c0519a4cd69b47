import { describe, expect, it } from 'vitest';
import { isLoopbackHost, isOwnOrigin } from '../../host/serve/loopback.ts';

describe('who may ask', () => {
  it.each(['127.0.0.1', '127.0.0.1:4850', 'localhost', 'LOCALHOST:80', '[::1]:4850'])('answers to %s', (host) => {
    expect(isLoopbackHost(host)).toBe(true);
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
    expect(isLoopbackHost(host)).toBe(false);
  });

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
});
