/** The moment of a replay as an address has it: what was written is read again, and nothing else is taken for a time. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { addressTime, sessionTimeNs } from '../../dashboards/src/text/session-time.ts';
import { timeSteps } from '../../dashboards/src/text/time-steps.ts';

const DAYS_NS = 9_000 * 3600 * 1e9;

test('is never before the moment that it was written for, and less than a millisecond after it', () => {
  fc.assert(
    fc.property(fc.double({ min: 0, max: DAYS_NS, noNaN: true }), (atNs) => {
      const readNs = sessionTimeNs(addressTime(atNs)) ?? Number.NaN;
      // A double of such a size is some nanoseconds wide.
      expect(readNs).toBeGreaterThanOrEqual(atNs - 8);
      expect(readNs - atNs).toBeLessThan(1e6 + 8);
      expect(addressTime(readNs)).toBe(addressTime(atNs));
    }),
  );
});

test.each(['', '12', '1:2:3', '00:00:-1', '00:00:01.2345', 'x00:00:01', '00:00:01 '])('is none: %j', (text) => {
  expect(sessionTimeNs(text)).toBeUndefined();
});

test('the figures of a time line have room, begin at nought and stay within it', () => {
  fc.assert(
    fc.property(fc.double({ min: 1, max: 200_000, noNaN: true }), fc.integer({ min: 76, max: 2_400 }), (endS, widthPx) => {
      const steps = timeSteps(endS, widthPx, 76);
      expect(steps[0]).toBe(0);
      expect(steps.at(-1)).toBeLessThanOrEqual(endS);
      for (const [index, s] of steps.slice(1).entries())
        expect(((s - (steps[index] ?? 0)) * widthPx) / endS).toBeGreaterThanOrEqual(76 - 1e-6);
    }),
  );
});
