/** Same seed, same bytes: however the time is cut, and whatever the faults. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { FAULTS } from '../../firmware-sim/faults.ts';
import { BOARDS, createRange, type RangeOptions } from '../../firmware-sim/range.ts';
import { BYTE_FAULTS, lineFaults } from '../../firmware-sim/wires/faults.ts';
import { createMemoryLine } from '../../firmware-sim/wires/memory.ts';
import { randomStream } from '../../firmware-sim/world/random.ts';

const END_S = 4;

function play(options: RangeOptions, cutsS: readonly number[], fault = false): { text: string; truth: string } {
  const range = createRange(options);
  const faults = fault ? { fault: lineFaults(['corrupt', 'garbage'], 0.1) } : {};
  const lines = BOARDS.map((board) => createMemoryLine({ seed: options.seed, name: board, end: range.ends[board], ...faults }));
  const texts = BOARDS.map(() => '');
  // Pins and a chip's number: the weather board speaks of nothing that it was not asked for.
  lines[BOARDS.indexOf('weather-board')]?.send(
    Uint8Array.of(0xc0, 1, 0xc1, 1, 0xf0, 0x78, 0xf7, 0xf0, 0x76, 0x76, 8, 0x50, 1, 1, 0, 0xf7),
    0,
  );
  for (const t of [...cutsS, END_S]) {
    lines.forEach((line, i) => {
      for (const { bytes } of line.advanceTo(t)) texts[i] += Buffer.from(bytes).toString('latin1');
    });
  }
  return { text: texts.join('\n'), truth: JSON.stringify(range.truth) };
}

const cuts = fc.array(fc.double({ min: 0, max: END_S, noNaN: true }), { maxLength: 60 }).map((times) => times.sort((a, b) => a - b));

test('the bytes that reach the host do not depend on how time is cut', () => {
  fc.assert(
    fc.property(fc.nat(), fc.subarray([...FAULTS]), cuts, fc.boolean(), (seed, faults, times, fault) => {
      const options = { seed, pace: 'fast', faults, shots: 1 } as const;
      const [a, b] = [play(options, times, fault), play(options, [], fault)];
      expect(a.text).toBe(b.text);
      expect(a.truth).toBe(b.truth);
      expect(a.text.length).toBeGreaterThan(10_000);
    }),
    { numRuns: 12 },
  );
});

test('another seed gives other bytes', () => {
  const options = { pace: 'fast', faults: [], shots: 1 } as const;
  expect(play({ ...options, seed: 1 }, []).text).not.toBe(play({ ...options, seed: 2 }, []).text);
});

describe('line faults', () => {
  const bytes = fc.uint8Array({ minLength: 1, maxLength: 300 });
  test('corrupt flips one bit', () => {
    fc.assert(
      fc.property(bytes, fc.nat(), (frame, seed) => {
        const damaged = BYTE_FAULTS.corrupt(frame, randomStream(seed, 'x'));
        const flipped = damaged.reduce(
          (sum, byte, i) => sum + [...(byte ^ (frame[i] ?? 0)).toString(2)].filter((b) => b === '1').length,
          0,
        );
        expect([damaged.length, flipped]).toEqual([frame.length, 1]);
      }),
    );
  });
  test('drop, truncate, duplicate and garbage', () => {
    fc.assert(
      fc.property(bytes, fc.nat(), (frame, seed) => {
        const random = randomStream(seed, 'x');
        expect(BYTE_FAULTS.drop(frame, random).length).toBe(0);
        const cut = BYTE_FAULTS.truncate(frame, random);
        expect(cut.length).toBeLessThan(frame.length);
        expect(frame.slice(0, cut.length)).toEqual(cut);
        expect(BYTE_FAULTS.duplicate(frame, random)).toEqual(Uint8Array.from([...frame, ...frame]));
        const dirty = BYTE_FAULTS.garbage(frame, random);
        expect(dirty.length).toBeGreaterThan(frame.length);
        expect(dirty.slice(-frame.length)).toEqual(frame);
      }),
    );
  });
});
