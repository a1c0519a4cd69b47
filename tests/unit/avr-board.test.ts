/** What a flashable board does about its starts, its own trouble, and the line to a host, with the very program that is flashed. */
import { describe, expect, test } from 'vitest';
import {
  buildFirmware,
  CAPTURE_DELAY_CYCLES,
  createAvrBoard,
  FLASH_BYTES_MAX,
  MEMORY_BYTES_MAX,
  readIntelHex,
} from '../../firmware-sim/avr/bench/index.ts';
import { createMemoryLine } from '../../firmware-sim/wires/memory.ts';
import { decodeBoardLine, encodeMessage } from '../../protocol/index.ts';
import { flashableBench, linesOf } from '../support/board-benches.ts';

const firmware = buildFirmware();

test('the firmware fits with room to spare, and is the same each time it is made', () => {
  expect(firmware.flashBytes).toBeLessThanOrEqual(FLASH_BYTES_MAX);
  expect(firmware.memoryBytes).toBeLessThanOrEqual(MEMORY_BYTES_MAX);
  expect(buildFirmware({ shelf: undefined }).hex).toBe(firmware.hex);
});

test('it bears the name that it was given', () => {
  const named = buildFirmware({ boardId: 'bench_2' });
  const [hello] = linesOf(flashableBench(named.program, 1).advance(0.03), 'HELLO');
  expect(hello?.boardId).toBe('bench_2');
  expect(() => buildFirmware({ boardId: 'no blanks' })).toThrow('board id "no blanks"');
});

describe('starting anew', () => {
  test('a board that hangs is ended by its watchdog, says so, and has another boot and no edges', () => {
    const { board, advance, edges } = flashableBench(firmware.program, 2);
    edges({ input: 2, active: true, timeS: 0.05 });
    const before = advance(0.1);
    expect(linesOf(before, 'EDGE')).toHaveLength(1);
    board.wedge(0.1);
    // It says nothing more for a quarter of a second, give or take the line that was under way.
    const after = advance(0.6);
    const hello = after.find(({ message }) => message.kind === 'HELLO');
    expect(hello?.message).toMatchObject({ seq: 0, resetCause: 'watchdog', oldestHeldSeq: 0 });
    expect(linesOf(after, 'HELLO')[0]?.bootId).not.toBe(linesOf(before, 'HELLO')[0]?.bootId);
    expect((hello?.timeS ?? 0) - 0.1).toBeGreaterThan(0.2);
    expect((hello?.timeS ?? 0) - 0.1).toBeLessThan(0.3);
    expect(linesOf(after, 'EDGE')).toEqual([]);
    expect(linesOf(after, 'DATA').length).toBeGreaterThan(4);
  });

  test('power off and on: a new boot each time, whatever its memory held', () => {
    const eeprom = new Uint8Array(4096).fill(0xff);
    const boots = Array.from({ length: 3 }, () => {
      const { board, advance } = flashableBench(firmware.program, 4, { eeprom });
      const first = linesOf(advance(0.03), 'HELLO')[0];
      board.powerCycle(0.03);
      const second = linesOf(advance(0.06), 'HELLO').at(-1);
      expect([first?.resetCause, second?.resetCause, second?.seq]).toEqual(['power', 'power', 0]);
      return [first?.bootId, second?.bootId];
    }).flat();
    expect(new Set(boots).size).toBe(6);
  });

  test('an input that is active at the start is a level, no edge', () => {
    const { advance, edges } = flashableBench(firmware.program, 5);
    // Before the program has looked: the processor's first microseconds.
    edges({ input: 1, active: true, timeS: 1e-6 }, { input: 0, active: true, timeS: 1e-6 }, { input: 1, active: false, timeS: 0.04 });
    const received = advance(0.1);
    expect(linesOf(received, 'EDGE')).toMatchObject([{ input: 1, active: false }]);
  });
});

describe('edges in the very moment after a byte was handed to the serial unit', () => {
  const UDR0 = 0xc6;
  const LINE_FEED = 0x0a;
  /** Together longer than two bytes on the line. */
  const CHATTER_EDGES = 40;
  const CHATTER_CYCLES = 30;

  /** A gate chatters behind each line's last byte, so that one interrupt takes longer than the byte, and a PING waits. */
  function toldUnder(program: Uint16Array) {
    const { board, advance, say } = flashableBench(program, 8);
    const { chip, pins, setAt } = board.bench;
    const { cpu } = chip;
    const send = cpu.writeHooks[UDR0];
    cpu.writeHooks[UDR0] = (value, ...more) => {
      if (value === LINE_FEED && cpu.cycles > 1_000_000) {
        // The capture unit sees the first at once: its interrupt comes one instruction later.
        pins.set(1, true, cpu.cycles - CAPTURE_DELAY_CYCLES);
        for (let i = 1; i < CHATTER_EDGES; i++) setAt(cpu.cycles + CHATTER_CYCLES * i, 1, i % 2 === 0);
      }
      return send?.(value, ...more);
    };
    const lines = Array.from({ length: 24 }, (_, i) => {
      const timeS = 0.1 + i * 0.005;
      const got = advance(timeS);
      say({ kind: 'PING', token: i.toString(16).toUpperCase().padStart(16, '0') }, timeS);
      return got;
    }).flat();
    return {
      hellos: linesOf([...lines, ...advance(0.6)], 'HELLO').map(({ resetCause }) => resetCause),
      stamps: linesOf(lines, 'STAMP').length,
    };
  }

  test('it goes on, and answers', () => {
    const { hellos, stamps } = toldUnder(firmware.program);
    expect(hellos).toEqual(['power']);
    expect(stamps).toBeGreaterThan(10);
  });

  test('a firmware that can lose the flag of a byte that was sent is found out', () => {
    const faulty = buildFirmware({
      replacements: [{ file: 'serial.c', from: 'ATOMIC_BLOCK(ATOMIC_RESTORESTATE) {\n    UDR0', to: '{\n    UDR0' }],
    });
    expect(toldUnder(faulty.program).hellos).toContain('watchdog');
  });
});

test('at the far end of a line that delays and cuts, it is a board like any other', () => {
  const board = createAvrBoard({
    program: firmware.program,
    seed: 6,
    tickRateErrorPpmMax: 50,
    inputs: { takeEdges: () => [], sampleCounts: () => 512 },
  });
  const line = createMemoryLine({ seed: 6, end: board });
  line.send(Buffer.from(`${encodeMessage({ kind: 'WHO' }, 0)}\n`), 0.05);
  const chunks = line.advanceTo(0.2);
  const lines = Buffer.concat(chunks.map(({ bytes }) => bytes))
    .toString('latin1')
    .split('\n')
    .slice(0, -1)
    .filter((one) => one !== '');
  expect(lines.map((one) => decodeBoardLine(one).ok)).toEqual(lines.map(() => true));
  expect(lines.filter((one) => one.startsWith('HELLO '))).toHaveLength(2);
});

describe('the file that is flashed', () => {
  test('is read to the byte, across its offsets', () => {
    // 0x0001 at 0, 0xbeef at 0x10000 (by a linear offset), end.
    const text = ':020000000100FD\n:020000040001F9\n:02000000EFBE51\n:00000001FF\n';
    const program = readIntelHex(text);
    expect([program.length, program[0], program[0x8000]]).toEqual([0x8001, 1, 0xbeef]);
  });

  test.each([
    ['a digit changed', ':020000000200FD\n:00000001FF\n', 'line 1: its checksum does not hold'],
    ['cut off', ':020000000100FD\n', 'the file has no end line'],
    ['something else', 'hello\n', 'line 1: not a line of Intel hexadecimal'],
  ])('is refused: %s', (_, text, message) => {
    expect(() => readIntelHex(text)).toThrow(message);
  });
});
