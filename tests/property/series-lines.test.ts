import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { MEASUREMENTS, MILLISECOND_LINES, NANOSECOND_LINES, originOf, SessionLines } from '../../host/series/lines/index.ts';
import { fieldsText, seriesKey } from '../../host/series/lines/line.ts';
import { StampBook } from '../../host/series/lines/stamp-book.ts';
import type { PipelineEvent } from '../../protocol/index.ts';
import { readLine } from '../support/series/read-line.ts';
import { ORIGIN_UTC_MS, runVirtualRange } from '../support/virtual-range.ts';

const ORIGIN = originOf(BigInt(ORIGIN_UTC_MS) * 1_000_000n + 123_456_789n);
const run = runVirtualRange({ seed: 11, shots: 2, faults: ['corrupt', 'drop'] });

function linesOf(dialect: typeof NANOSECOND_LINES, events: readonly PipelineEvent[] = run.events): string[] {
  const lines = new SessionLines({ origin: ORIGIN, dialect, extra: { centre: 'Cold Sike' } });
  return [...lines.take(events), ...lines.end(1e12)];
}

describe('lines of line protocol', () => {
  it('give any text and any double back', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), fc.double(), fc.string({ unit: 'binary' }), (tag, value, text) => {
        const fields = fieldsText([
          { name: 'v', kind: 'float', value },
          { name: 't', kind: 'text', value: text },
          { name: 'n', kind: 'int', value: 7 },
        ]);
        const read = readLine(`${seriesKey('m', { z: tag, a: 'x=y, z' })} ${fields} 1`);
        expect(read.tags.a).toBe('x=y, z');
        expect(read.tags.z ?? '').toBe(
          tag
            .replaceAll('\\', '/')
            .replace(/\p{Cc}/gu, ' ')
            .trim(),
        );
        if (Number.isFinite(value)) expect(read.fields.v).toBe(value);
        else expect(read.fields).not.toHaveProperty('v');
        expect(read.fields.t).toBe(
          text
            .slice(0, 1000)
            .replace(/\p{Cc}/gu, ' ')
            .trim(),
        );
        expect(read.fields.n).toBe(7n);
      }),
    );
  });

  it('hold every sample to the nanosecond and to the bit', () => {
    const samples = run.events.flatMap((event) => (event.type === 'samples' ? [event] : []));
    const read = linesOf(NANOSECOND_LINES)
      .map(readLine)
      .filter(({ measurement }) => measurement === 'sample');
    expect(read.length).toBe(samples.reduce((sum, { valuesSi }) => sum + valuesSi.length, 0));
    const wanted = samples.flatMap(({ channel, stream, fromNs, periodNs, valuesSi }) =>
      valuesSi.map((value, i) => [
        channel,
        stream,
        BigInt(ORIGIN_UTC_MS) * 1_000_000n + 123_456_789n + BigInt(Math.round(fromNs + i * periodNs)),
        value,
      ]),
    );
    expect(read.map(({ tags, stamp, fields }) => [tags.channel, tags.stream, stamp, fields.value])).toEqual(wanted);
  });

  it.each([NANOSECOND_LINES, MILLISECOND_LINES])('never give one series one stamp twice, and only what the table names: %j', (dialect) => {
    const seen = new Set<string>();
    for (const { measurement, tags, fields, stamp } of linesOf(dialect).map(readLine)) {
      const row = MEASUREMENTS[measurement as keyof typeof MEASUREMENTS];
      expect(Object.keys(tags).filter((tag) => !['site', 'rig', 'centre', ...row.tags].includes(tag))).toEqual([]);
      expect(tags).toMatchObject({ rig: 'Heron', site: 'Cold Sike', centre: 'Cold Sike' });
      for (const [name, value] of Object.entries(fields)) {
        const { kind } = (row.fields as Record<string, { kind: string }>)[name] ?? { kind: 'none' };
        expect([name, typeof value]).toEqual([name, { float: 'number', int: 'bigint', text: 'string' }[kind]]);
        if (!dialect.keepsTexts) expect(kind).not.toBe('text');
      }
      const key = `${measurement} ${JSON.stringify(tags)} ${stamp}`;
      if (seen.has(key)) expect(key).toBe('once');
      seen.add(key);
    }
    expect(seen.size).toBeGreaterThan(1000);
  });

  it('go on from any copy with the same lines', () => {
    fc.assert(
      fc.property(fc.nat(run.events.length), fc.constantFrom(NANOSECOND_LINES, MILLISECOND_LINES), (cut, dialect) => {
        const lines = new SessionLines({ origin: ORIGIN, dialect });
        lines.take(run.events.slice(0, cut));
        const copy = lines.copy();
        const rest = lines.take(run.events.slice(cut));
        expect(copy.take(run.events.slice(cut))).toEqual(rest);
        expect(copy.thinned).toBe(lines.thinned);
      }),
      { numRuns: 20 },
    );
  });

  it('lose no sample of 1 kHz at milliseconds, however its clock beats with them', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -50e-6, max: 0, noNaN: true }),
        fc.nat(2_000_000),
        fc.integer({ min: 1, max: 60 }),
        (slow, start, size) => {
          const book = new StampBook(ORIGIN, 'ms');
          const stamps: (string | undefined)[] = [];
          const periodNs = 1e6 * (1 - slow);
          for (let i = 0; i < 3_000; i += size)
            stamps.push(...book.block('s', Math.round(start + i * periodNs + (i % 7) * 900), periodNs, size));
          expect(stamps).not.toContain(undefined);
          expect(new Set(stamps).size).toBe(stamps.length);
        },
      ),
      { numRuns: 30 },
    );
  });

  it('keep the first of each millisecond of what is faster', () => {
    const book = new StampBook(originOf(0n), 'ms');
    const stamps = book.block('s', 5_000_000, 100_000, 40);
    expect(stamps.flatMap((stamp, i) => (stamp === undefined ? [] : [[i, stamp]]))).toEqual([
      [0, '5'],
      [10, '6'],
      [20, '7'],
      [30, '8'],
    ]);
  });
});
