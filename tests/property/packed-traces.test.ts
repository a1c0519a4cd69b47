/** What is kept of a shot's traces is what was traced. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { packed, unpacked } from '../../host/pipeline/packed-traces.ts';

/** As a trace has it: any reading, above or below nothing, by tenths of a pascal; the highest is ten times any reservoir here. */
const valuePa = fc.double({ min: -1e5, max: 1e8, noNaN: true }).map((pa) => Math.round(pa * 10) / 10 + 0);
const trace = fc.record({
  channel: fc.string(),
  stream: fc.constantFrom('slow' as const, 'burst' as const),
  fromS: fc.double({ noNaN: true }),
  periodS: fc.double({ noNaN: true }),
  valuesPa: fc.array(valuePa, { maxLength: 50 }),
});

test('traces come back to the last digit', () => {
  fc.assert(
    fc.property(fc.array(trace, { maxLength: 4 }), (traces) => {
      expect(unpacked(packed(traces))).toEqual(traces);
    }),
  );
});
