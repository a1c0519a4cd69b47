/** Lines of text instruments: numbers out of good ones, and nothing that hurts out of any other. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { TEXT_LINE_BYTES_MAX, type TextLayout, textReader } from '../../host/rig/index.ts';
import { compilePattern } from '../../host/rig/text-pattern.ts';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);
const GAUGE: TextLayout = { by: 'pattern', pattern: 'P=(?<pressure>\\S+) bar(?: T=(?<temperature>\\S+) .?C)?' };
const gauge = textReader(GAUGE);
const wind = textReader({ by: 'columns', columns: ['time', 'speed', undefined, 'heading'], separator: ';' });

describe('a line by its pattern', () => {
  it.each<[string, Record<string, number>, readonly string[]]>([
    ['P=31.25 bar', { pressure: 31.25 }, []],
    ['#7 P=-0.98 bar T=+21.5 °C ok\r', { pressure: -0.98, temperature: 21.5 }, []],
    ['P=1e-3 bar', { pressure: 0.001 }, []],
    ['P=\u22120.5 bar', { pressure: -0.5 }, []],
    // What an instrument prints for no reading is no number, and no other number suffers from it.
    ['P=---- bar T=20 °C', { temperature: 20 }, ['pressure']],
    ['P=OL bar', {}, ['pressure']],
    ['P=1,234 bar', {}, ['pressure']],
    ['P=0x10 bar', {}, ['pressure']],
    ['P=Infinity bar', {}, ['pressure']],
    ['P=1e999 bar', {}, ['pressure']],
  ])('%j', (line, values, unreadable) => {
    expect(gauge(bytes(line))).toEqual({ ok: true, values, unreadable });
  });

  it('may be in Latin-1', () => {
    expect(gauge(Uint8Array.from('P=1.5 bar T=20.5 \u00b0C', (letter) => letter.charCodeAt(0)))).toMatchObject({
      values: { pressure: 1.5, temperature: 20.5 },
    });
  });

  it('that lacks the pattern, or is too long, is told as such', () => {
    expect(gauge(bytes('T=20 °C'))).toEqual({ ok: false, why: 'no-match' });
    expect(gauge(bytes(''))).toEqual({ ok: false, why: 'no-match' });
    const padded = (length: number): Uint8Array => bytes('P=1 bar'.padEnd(length));
    expect(gauge(padded(TEXT_LINE_BYTES_MAX))).toMatchObject({ ok: true });
    expect(gauge(padded(TEXT_LINE_BYTES_MAX + 1))).toEqual({ ok: false, why: 'too-long' });
  });
});

it('that the link marks as a piece of a line gives no number: it may be half of one', () => {
  const piece = Uint8Array.of(0x80, ...bytes('P=31.2 bar'));
  expect(gauge(piece)).toEqual({ ok: false, why: 'no-match' });
  expect(textReader({ by: 'columns', columns: ['a', 'b'], separator: ',' })(Uint8Array.of(0x80, ...bytes('1,2')))).toMatchObject({
    ok: false,
  });
});

describe('a line by its columns', () => {
  it('gives the named ones, however many spaces stand about them', () => {
    expect(wind(bytes('12:00:01; 3.5 ;NE;045'))).toEqual({ ok: true, values: { speed: 3.5, heading: 45 }, unreadable: ['time'] });
    const spaced = textReader({ by: 'columns', columns: ['a', undefined, 'b'], separator: ' ' });
    expect(spaced(bytes('  1.5    x  -2'))).toEqual({ ok: true, values: { a: 1.5, b: -2 }, unreadable: [] });
  });

  it('that has more or fewer of them is another line', () => {
    expect(wind(bytes('1;2;3'))).toEqual({ ok: false, why: 'no-match' });
    expect(wind(bytes('1;2;3;4;5'))).toEqual({ ok: false, why: 'no-match' });
  });
});

describe('any bytes at all', () => {
  it('give finite numbers under known names, or a reason', () => {
    const pieces = fc.constantFrom('P=', ' bar', '1.5', '-', ';', ' T=', '°C', 'e9', '\u0000', '\r', '😀');
    const line = fc.oneof(
      fc.uint8Array({ maxLength: 1100 }),
      fc.array(pieces, { maxLength: 40 }).map((all) => bytes(all.join(''))),
    );
    fc.assert(
      fc.property(line, (anything) => {
        for (const [reader, names] of [
          [gauge, ['pressure', 'temperature']],
          [wind, ['time', 'speed', 'heading']],
        ] as const) {
          const read = reader(anything);
          if (!read.ok) continue;
          for (const [name, value] of Object.entries(read.values)) {
            expect(names).toContain(name);
            expect(Number.isFinite(value)).toBe(true);
            expect(read.unreadable).not.toContain(name);
          }
        }
      }),
      { numRuns: 400 },
    );
  });

  // An engine that tries one way after the other would be at each of these until long after the session.
  it.each([
    '(?<x>(a+)+)b',
    '(?<x>(a|aa)+)b',
    '(?<x>a*a*a*a*a*a*a*a*)b',
    '(?<x>([a-z]+)*)9',
    '(?<x>(.*)(.*)(.*)(.*)(.*))b',
    '(?<x>(a?){64}a{64})b',
  ])('come to an end under %s', (pattern) => {
    const read = compilePattern(pattern);
    if (!read.ok) throw new Error(read.why);
    expect(read.pattern.find('a'.repeat(TEXT_LINE_BYTES_MAX))).toBeUndefined();
    expect(read.pattern.find(`${'a'.repeat(TEXT_LINE_BYTES_MAX - 2)}b9`)).toBeDefined();
  });

  it('as a pattern give a pattern or a reason', () => {
    const pieces = fc.constantFrom(
      '(?<a>',
      '(',
      ')',
      '[',
      ']',
      '+',
      '*',
      '{1,9}',
      '\\d',
      '\\',
      '|',
      '^',
      '$',
      'x',
      '(?=',
      '(?<!',
      '\\1',
      '😀',
    );
    fc.assert(
      fc.property(fc.array(pieces, { maxLength: 20 }), (all) => {
        const read = compilePattern(all.join(''));
        if (read.ok) read.pattern.find('xx1x(');
        else expect(read.why).toMatch(/./);
      }),
      { numRuns: 1000 },
    );
  });
});
