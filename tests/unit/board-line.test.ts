/** The in-memory line: nothing lost, nothing reordered, nothing early. */
import { expect, test } from 'vitest';
import type { TimedBytes } from '../../firmware-sim/boards/gate-board.ts';
import { createMemoryLine, type MemoryLineOptions } from '../../firmware-sim/wires/memory.ts';

/** An end that says a numbered word every 10 ms and notes what it hears. */
function talker() {
  const heard: { timeS: number; text: string }[] = [];
  let nextMs = 0;
  return {
    heard,
    receive: (bytes: Uint8Array, timeS: number) => void heard.push({ timeS, text: Buffer.from(bytes).toString('latin1') }),
    advanceTo: (timeS: number) => {
      const out: TimedBytes[] = [];
      for (; nextMs / 1000 <= timeS; nextMs += 10) out.push({ timeS: nextMs / 1000, bytes: Buffer.from(`word ${nextMs}\n`) });
      return out;
    },
  };
}

const open = (change: Partial<MemoryLineOptions> = {}) => {
  const end = talker();
  return { end, line: createMemoryLine({ seed: 9, end, ...change }) };
};

test('all words arrive in order, later than they were said, at whole frames, cut anywhere', () => {
  const { line } = open();
  const chunks: TimedBytes[] = [];
  for (let t = 0; t <= 5; t += 0.003) {
    for (const chunk of line.advanceTo(t)) {
      expect(chunk.timeS).toBeLessThanOrEqual(t);
      chunks.push(chunk);
    }
  }
  const words = chunks
    .map(({ bytes }) => Buffer.from(bytes).toString('latin1'))
    .join('')
    .split('\n')
    .slice(0, -1);
  expect(words.slice(0, 495)).toEqual(Array.from({ length: 495 }, (_, i) => `word ${i * 10}`));
  expect(chunks.length).toBeGreaterThan(600);
  expect(chunks.every(({ timeS }, i) => i === 0 || timeS >= (chunks[i - 1]?.timeS ?? 0))).toBe(true);
  expect(chunks.every(({ timeS }) => Math.abs(timeS * 1000 - Math.round(timeS * 1000)) < 1e-6)).toBe(true);
  expect(chunks[0]?.timeS).toBeGreaterThanOrEqual(0.001);
});

test('host bytes reach the end later, in order, before anything the end says after that moment', () => {
  const { line, end } = open();
  for (let i = 0; i < 200; i++) {
    line.send(Buffer.from(`<${i}>`), i * 0.004);
    line.advanceTo(i * 0.004);
  }
  line.advanceTo(2);
  expect(end.heard.map(({ text }) => text).join('')).toBe(Array.from({ length: 200 }, (_, i) => `<${i}>`).join(''));
  const delays = end.heard
    .filter(({ text }) => text.includes('<'))
    .map(({ timeS, text }) => timeS - 0.004 * Number(/<(\d+)/.exec(text)?.[1] ?? 0));
  expect(Math.min(...delays)).toBeGreaterThanOrEqual(0.001 - 1e-9);
});

test('unplugged, both directions are lost, also what was on its way; plugged in again, it goes on', () => {
  const { line, end } = open();
  line.advanceTo(0.1);
  line.setPlugged(false, 0.1);
  line.send(Buffer.from('lost'), 0.12);
  expect(line.advanceTo(0.5)).toEqual([]);
  line.setPlugged(true, 0.5);
  line.send(Buffer.from('heard'), 0.51);
  const text = line
    .advanceTo(1)
    .map(({ bytes }) => Buffer.from(bytes).toString('latin1'))
    .join('');
  expect(text.startsWith('word 510\n')).toBe(true);
  expect(end.heard.map(({ text: t }) => t).join('')).toBe('heard');
});

test('a fault sees each chunk once and its answer is what arrives', () => {
  const seen: string[] = [];
  const { line } = open({
    fault: (bytes) => {
      seen.push(Buffer.from(bytes).toString('latin1'));
      return seen.length % 2 ? bytes : new Uint8Array(0);
    },
  });
  const text = line
    .advanceTo(1)
    .map(({ bytes }) => Buffer.from(bytes).toString('latin1'))
    .join('');
  expect(text.slice(0, 23)).toBe('word 0\nword 20\nword 40\n');
  expect(seen.length).toBe(101);
});
