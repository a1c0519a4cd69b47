/** What is counted of a text instrument's lines, and how one that could not be read is shown. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { countLine, linesPerS, NO_LINES, type TextCounters } from '../../host/pipeline/index.ts';
import { SHOWN_MAX, shownText } from '../../host/pipeline/shown-text.ts';

describe('a line that could not be read', () => {
  test('is shown in bounds and without control characters, whatever bytes it has', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 700 }), (bytes) => {
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
    const why = text.startsWith('P=') ? undefined : 'no-match';
    return countLine(before, { atNs: Math.round(atS * 1e9), bytes: Buffer.from(text), why });
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
    expect(counters.lastBad).toEqual({ atNs: 13e9, reason: 'no-match', text: '\\x1Bnoise' });
    counters = line(counters, 40);
    expect([counters.gaps, counters.longestGapNs]).toEqual([1, 21e9]);
  });
});
