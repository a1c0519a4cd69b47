/** What is read of a text instrument's line, what is refused and why, and what is counted. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { countLine, linesPerS, NO_LINES, readTextLine, type TextCounters, type TextFormat } from '../../host/pipeline/index.ts';
import { SHOWN_MAX, shownText } from '../../host/pipeline/shown-text.ts';

const GAUGE: TextFormat = { pattern: /P=(?<pressure>[-+]?\d+\.\d+) bar/ };
const STATION: TextFormat = { columns: ['time', 'pressure', '-', 'temperature'], separator: ',' };
const read = (format: TextFormat, text: string) => readTextLine(format, Buffer.from(text, 'utf8'));

describe('a line', () => {
  test('gives its named numbers, by pattern or by columns', () => {
    expect(read(GAUGE, 'P=3.2104 bar')).toEqual({ ok: true, values: { pressure: 3.2104 } });
    expect(read(GAUGE, '\x02P=-0.0010 bar\x03')).toEqual({ ok: true, values: { pressure: -0.001 } });
    expect(read(STATION, '12, 1002.31 ,ignored,1.5e1,more')).toEqual({
      ok: true,
      values: { time: 12, pressure: 1002.31, temperature: 15 },
    });
    expect(read({ pattern: /T=(?<t>\S+) °C(?: H=(?<h>\S+))?/ }, 'T=9.5 °C')).toEqual({ ok: true, values: { t: 9.5 } });
    expect(read({ pattern: /(?<__proto__>\d+)/ }, '7')).toMatchObject({ ok: true });
  });

  test('gives the same again whatever flags the pattern has', () => {
    const format = { pattern: /P=(?<p>\d)/gy };
    expect([read(format, 'P=1'), read(format, 'P=2')]).toEqual([
      { ok: true, values: { p: 1 } },
      { ok: true, values: { p: 2 } },
    ]);
  });

  test.each([
    [GAUGE, 'P=3.2104 ba', 'no-match'],
    [{ pattern: /P=(\d+)/ }, 'P=3', 'no-match'],
    [{ pattern: /P=(?<p>\S+)/ }, 'P=----', 'not-a-number'],
    [{ pattern: /P=(?<p>\S+)/ }, 'P=0x10', 'not-a-number'],
    [{ pattern: /P=(?<p>\S+)/ }, 'P=Infinity', 'not-a-number'],
    [{ pattern: /P=(?<p>\S+)/ }, 'P=1e999', 'not-a-number'],
    [STATION, '12,1002.31,x', 'too-few-columns'],
    [STATION, '12,,x,15', 'not-a-number'],
    [GAUGE, `P=3.2104 bar${' '.repeat(600)}`, 'too-long'],
  ] as const)('%o refuses %s: %s', (format, text, reason) => {
    expect(read(format, text)).toMatchObject({ ok: false, reason });
  });

  test('that is neither ASCII nor UTF-8 is refused, and no bytes at all can do harm', () => {
    expect(readTextLine(GAUGE, Buffer.from('P=3.2104 bar \xb0', 'latin1'))).toMatchObject({ ok: false, reason: 'not-text' });
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 700 }), fc.constantFrom(GAUGE, STATION), (bytes, format) => {
        const result = readTextLine(format, bytes);
        if (result.ok) for (const value of Object.values(result.values)) expect(Number.isFinite(value)).toBe(true);
        const shown = shownText(bytes);
        expect(shown.length).toBeLessThanOrEqual(SHOWN_MAX);
        expect(shown).not.toMatch(/[\p{Cc}\p{Cf}]/u);
      }),
    );
  });

  test('is shown with what cannot be seen, and cut where it is long', () => {
    expect(shownText(Buffer.from('\x1b[2JP\t=°\u202e'))).toBe('\\x1B[2JP\\x09=°\\u{202E}');
    expect(shownText(Buffer.from('\xff\x41', 'latin1'))).toBe('\\xFFA');
    expect(shownText(Buffer.from('y'.repeat(80)))).toBe('y'.repeat(80));
    expect(shownText(Buffer.from('y'.repeat(81)))).toBe(`${'y'.repeat(79)}…`);
    expect(shownText(Buffer.from('\x01'.repeat(81))).length).toBeLessThanOrEqual(80);
    // Cut within a character of two bytes: still text.
    expect(shownText(Buffer.from(`x${'°'.repeat(300)}`))).toBe(`x${'°'.repeat(78)}…`);
  });
});

describe('the counters', () => {
  const line = (before: TextCounters, atS: number, text = 'P=1.0 bar') => {
    const bytes = Buffer.from(text);
    return countLine(before, Math.round(atS * 1e9), bytes, readTextLine(GAUGE, bytes));
  };

  test('count every line, each failure under its reason, and every missed stretch, in bounded memory', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.002, max: 5, noNaN: true }),
        fc.array(
          fc.record({
            bad: fc.boolean(),
            missed: fc.constantFrom(0, 0, 0, 0, 0, 0, 0, 4, 9),
            jitter: fc.double({ min: 0, max: 0.3, noNaN: true }),
          }),
          {
            minLength: 20,
            maxLength: 120,
          },
        ),
        (periodS, script) => {
          let counters = NO_LINES;
          let n = 0;
          for (; n < 20; n += 1) counters = line(counters, n * periodS);
          let since = 20;
          let gaps = 0;
          for (const { bad, missed, jitter } of script) {
            // Stretches so rare that what is typical stays plain.
            const skip = since >= 16 ? missed : 0;
            since = skip > 0 ? 0 : since + 1;
            gaps += skip > 0 ? 1 : 0;
            n += skip;
            counters = line(counters, (n + jitter) * periodS, bad ? 'noise' : undefined);
            n += 1;
          }
          const failures = script.filter(({ bad }) => bad).length;
          expect(counters.lines).toBe(20 + script.length);
          expect(counters.failures['no-match'] ?? 0).toBe(failures);
          expect(counters.gaps).toBe(gaps);
          expect(counters.intervalsNs.length).toBeLessThanOrEqual(16);
          expect(counters.seconds.length).toBeLessThanOrEqual(11);
        },
      ),
    );
  });

  test('give the rate over ten seconds, and let it fall when the lines stop', () => {
    let counters = NO_LINES;
    expect(linesPerS(counters, 5e9)).toBe(0);
    for (let i = 0; i < 200; i += 1) counters = line(counters, 3 + i / 10);
    expect(linesPerS(counters, 23e9)).toBe(10);
    expect(linesPerS(counters, 28e9)).toBe(5);
    expect(linesPerS(counters, 60e9)).toBe(0);
  });

  test('do not take the pause between bursts of lines for a gap, and keep the last bad line', () => {
    let counters = NO_LINES;
    for (let i = 0; i < 60; i += 1) counters = line(counters, Math.floor(i / 3), i === 40 ? '\x1bnoise' : undefined);
    expect(counters.gaps).toBe(0);
    expect(counters.lastBad).toEqual({ atNs: 13e9, reason: 'no-match', detail: 'the pattern does not match', text: '\\x1Bnoise' });
    counters = line(counters, 40);
    expect([counters.gaps, counters.longestGapNs]).toEqual([1, 21e9]);
  });
});
