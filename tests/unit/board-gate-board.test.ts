/** The gate board's side of the wire, with inputs made by hand. */
import { describe, expect, test } from 'vitest';
import { BOARD } from '../../firmware-sim/boards/gate-board.ts';
import { encodeMessage } from '../../protocol/index.ts';
import { bench, bootIdOf, of, pulses } from '../support/gate-board-bench.ts';

test('it says who it is at the start, and again when asked, under a new number', () => {
  const { advance, say } = bench();
  const first = advance(0.5);
  expect(first[0]?.message).toMatchObject({ kind: 'HELLO', seq: 0, boardId: 'CS-GB-01', resetCause: 'power', oldestHeldSeq: 0 });
  say({ kind: 'WHO' }, 0.6);
  const again = of(advance(0.7), 'HELLO');
  expect(again).toHaveLength(1);
  expect(again[0]?.bootId).toBe(bootIdOf(first));
  expect(again[0]?.seq).toBeGreaterThan(0);
});

test('numbers run from 0 without a gap, a heartbeat comes each second, the line is never faster than its rate', () => {
  const { advance, edges } = bench();
  edges(...pulses(20, 1.2));
  const received = advance(10);
  expect(received.map(({ message }) => message.seq)).toEqual(received.map((_, i) => i));
  expect(of(received, 'BEAT').length).toBe(9);
  for (const [i, { timeS, line }] of received.slice(1).entries()) {
    expect(timeS - (received[i]?.timeS ?? 0)).toBeGreaterThanOrEqual((line.length + 1) / 50_000 - 1e-9);
  }
});

test('samples of both pressures cover all time: 1 kHz in blocks of 50', () => {
  const received = bench().advance(5);
  for (const [channel, periodTicks, length] of [
    [0, 16_000, 50],
    [1, 16_000, 50],
  ] as const) {
    const blocks = of(received, 'DATA').filter((block) => block.channel === channel && block.stream === 'slow');
    expect(blocks.length).toBeGreaterThan(2);
    for (const [i, block] of blocks.entries()) {
      expect([block.periodTicks, block.counts.length]).toEqual([periodTicks, length]);
      const next = blocks[i + 1];
      if (next) expect(next.ticks - block.ticks).toBe(periodTicks * length);
    }
  }
});

test('a PING is stamped when its line feed arrives and when its answer leaves, ahead of all else', () => {
  const { advance, say } = bench();
  const before = advance(1.0001);
  say({ kind: 'PING', token: '0123456789ABCDEF' }, 1.0002);
  const after = advance(1.1);
  const [stamp] = of(after, 'STAMP');
  expect(stamp?.token).toBe('0123456789ABCDEF');
  const at = after.find(({ message }) => message.kind === 'STAMP');
  const sentS = (at?.timeS ?? 0) - ((at?.line.length ?? 0) + 1) / 50_000;
  const hello = of(before, 'HELLO')[0];
  const ticksOf = (timeS: number): number => (hello?.ticks ?? 0) + 16e6 * timeS;
  // Within 60 ppm of 1 s.
  expect(Math.abs((stamp?.ticksReceived ?? 0) - ticksOf(1.0002))).toBeLessThan(16e6 * 60e-6);
  expect(Math.abs((stamp?.ticksSent ?? 0) - (stamp?.ticksReceived ?? 0) - 16e6 * (sentS - 1.0002))).toBeLessThan(3);
  // At most the frame that was on the line goes before it.
  expect(after.findIndex(({ message }) => message.kind === 'STAMP')).toBeLessThanOrEqual(1);
});

test('clock error stays within ±50 ppm of the nominal rate, differs from board to board, and starts anywhere', () => {
  const rates: number[] = [];
  const starts: number[] = [];
  for (let seed = 0; seed < 30; seed++) {
    const beats = of(bench({ seed }).advance(11), 'BEAT');
    const [a, b] = [beats[0]?.ticks ?? 0, beats[9]?.ticks ?? 0];
    starts.push(a);
    rates.push((b - a) / (9 * 16e6) - 1);
  }
  // A heartbeat may wait up to 10 ms for the line.
  expect(Math.max(...rates.map(Math.abs))).toBeLessThan(50e-6 + 0.01 / 9);
  expect(new Set(starts).size).toBe(30);
});

describe('edges', () => {
  test('go out ahead of waiting samples and are held until acknowledged', () => {
    const { advance, edges, say } = bench();
    edges(...pulses(6, 1.5));
    const received = advance(2);
    const sent = of(received, 'EDGE');
    expect(sent.map(({ input, active }) => [input, active])).toEqual(pulses(6, 0).map(({ input, active }) => [input, active]));
    for (const [i, edge] of sent.slice(1).entries()) expect(Math.abs(edge.ticks - (sent[i]?.ticks ?? 0) - 1600)).toBeLessThan(3);
    expect(of(advance(2.2), 'BEAT').at(-1) ?? of(received, 'BEAT').at(-1)).toMatchObject({ edgesCaptured: 6, edgesLost: 0, edgesHeld: 6 });

    const bootId = bootIdOf(received);
    say({ kind: 'ACK', bootId, upToSeq: sent[3]?.seq ?? 0 }, 2.3);
    expect(of(advance(3.2), 'BEAT').at(-1)).toMatchObject({ edgesHeld: 2 });
    say({ kind: 'ACK', bootId: (bootId ^ 1) >>> 0, upToSeq: 0xffff }, 3.3);
    expect(of(advance(4.2), 'BEAT').at(-1)).toMatchObject({ edgesHeld: 2 });
  });

  test('beyond its memory the newest are not kept, and counted', () => {
    const { advance, edges, say } = bench();
    edges(...pulses(BOARD.edgesMax + 10, 1.5));
    const received = advance(3.5);
    expect(of(received, 'EDGE')).toHaveLength(BOARD.edgesMax);
    const captured = BOARD.edgesMax + 10;
    expect(of(received, 'BEAT').at(-1)).toMatchObject({ edgesCaptured: captured, edgesLost: 10, edgesHeld: BOARD.edgesMax });
    // Room again after an acknowledgement; the first edges were kept, not the last.
    say({ kind: 'ACK', bootId: bootIdOf(received), upToSeq: received.at(-1)?.message.seq ?? 0 }, 3.6);
    edges(...pulses(2, 3.7));
    expect(of(advance(4.5), 'EDGE')).toHaveLength(2);
  });

  test('the heartbeat shows which inputs are active', () => {
    const { advance, edges } = bench();
    edges({ input: 0, active: true, timeS: 0.5 }, { input: 3, active: true, timeS: 0.6 }, { input: 0, active: false, timeS: 1.5 });
    expect(of(advance(2.2), 'BEAT').map(({ inputsActive }) => inputsActive)).toEqual([0b1001, 0b1000]);
  });
});

describe('what the host sends amiss', () => {
  test('is counted and has no effect', () => {
    const { board, advance } = bench();
    advance(0.5);
    const good = encodeMessage({ kind: 'WHO' }, 0);
    for (const line of [
      good.replace('WHO', 'WHY'),
      good.slice(0, -1),
      'x',
      `${good}0`,
      encodeMessage({ kind: 'GONE', fromSeq: 1, toSeq: 2 }, 0),
    ]) {
      board.receive(Buffer.from(`${line}\n`), 0.5);
    }
    const after = advance(1.5);
    expect(of(after, 'HELLO')).toHaveLength(0);
    expect(of(after, 'BEAT')[0]?.hostLinesBad).toBe(5);
  });

  test('an endless line is dropped in bounded memory and the next line is read', () => {
    const { board, advance } = bench();
    advance(0.5);
    const chunk = Buffer.alloc(65_536, 0x41);
    for (let i = 0; i < 160; i++) board.receive(chunk, 0.5);
    board.receive(Buffer.from(`\n${encodeMessage({ kind: 'WHO' }, 0)}\n`), 0.5);
    const after = advance(1.5);
    expect(of(after, 'HELLO')).toHaveLength(1);
    expect(of(after, 'BEAT')[0]?.hostLinesBad).toBe(1);
  });

  test('a line is a line however it is cut', () => {
    const { board, advance } = bench();
    advance(0.5);
    for (const byte of Buffer.from(`${encodeMessage({ kind: 'WHO' }, 0)}\r\n`)) board.receive(Uint8Array.of(byte), 0.6);
    expect(of(advance(0.7), 'HELLO')).toHaveLength(1);
  });
});

test('a trigger brings the burst: 20 kHz of both pressures from 10 ms before to 60 ms after, behind the edges', () => {
  const { advance, edges } = bench();
  edges({ input: 0, active: true, timeS: 1.5 }, ...pulses(8, 1.53), { input: 0, active: false, timeS: 1.55 });
  const received = advance(3);
  const trigger = of(received, 'EDGE')[0];
  const burst = of(received, 'DATA').filter(({ stream }) => stream === 'burst');
  for (const channel of [0, 1]) {
    const blocks = burst.filter((block) => block.channel === channel);
    const from = blocks[0]?.ticks ?? 0;
    expect(Math.abs(from - ((trigger?.ticks ?? 0) - 160_000))).toBeLessThanOrEqual(800);
    expect(blocks.map(({ ticks }) => ticks)).toEqual(blocks.map((_, i) => from + i * 80_000));
    const last = blocks.at(-1);
    expect((last?.ticks ?? 0) + (last?.counts.length ?? 0) * 800).toBeGreaterThanOrEqual((trigger?.ticks ?? 0) + 960_000);
    // The ramp: one count a sample, 20 000 a second, from 1.49 s.
    expect(Math.abs((blocks[0]?.counts[0] ?? 0) - channel * 1000 - 1.49 * 20_000)).toBeLessThan(3);
    expect((blocks[3]?.counts[50] ?? 0) - (blocks[0]?.counts[0] ?? 0)).toBeCloseTo(350, -1);
  }
  // Channels by turns, and the slow stream without a hole.
  expect(burst.map(({ channel }) => channel)).toEqual(burst.map((_, i) => i % 2));
  const slow = of(received, 'DATA').filter(({ stream, channel }) => stream === 'slow' && channel === 0);
  expect(slow.map(({ ticks }) => ticks)).toEqual(slow.map((_, i) => (slow[0]?.ticks ?? 0) + i * 800_000));
  expect((slow.at(-1)?.ticks ?? 0) - (trigger?.ticks ?? 0)).toBeGreaterThan(16e6);
  const order = received.map(({ message }) => message);
  expect(order.findIndex((m) => m.kind === 'DATA' && m.stream === 'burst')).toBeGreaterThan(order.findLastIndex((m) => m.kind === 'EDGE'));
});

test('on a line too slow for its samples it drops samples, keeps their numbers and loses no edge', () => {
  const { advance, edges, say } = bench({ baudRate: 38_400 });
  edges(...pulses(10, 20));
  const received = advance(60);
  expect(of(received, 'EDGE')).toHaveLength(10);
  const seqs = received.map(({ message }) => message.seq);
  expect(seqs.every((seq, i) => i === 0 || seq > (seqs[i - 1] ?? 0))).toBe(true);
  const missing = Array.from({ length: seqs.at(-1) ?? 0 }, (_, i) => i).filter((seq) => !seqs.includes(seq));
  expect(missing.length).toBeGreaterThan(100);
  const last = missing.at(-1) ?? 0;
  say({ kind: 'RESEND', bootId: bootIdOf(received), fromSeq: last, toSeq: last }, 60);
  expect(of(advance(61), 'DATA').some(({ seq }) => seq === last)).toBe(true);
  const edge = received.find(({ message }) => message.kind === 'EDGE');
  expect(edge?.timeS).toBeLessThan(20 + 0.13);
});

test('after a restart: new identity, numbers and ticks from 0, nothing held', () => {
  const { board, advance, edges, say } = bench();
  edges(...pulses(4, 1.5));
  const before = advance(2.035);
  board.restart(2.035);
  say({ kind: 'RESEND', bootId: bootIdOf(before), fromSeq: 0, toSeq: 9 }, 2.04);
  const after = advance(4);
  expect(after[0]?.message).toMatchObject({ kind: 'HELLO', seq: 0, resetCause: 'watchdog', oldestHeldSeq: 0 });
  expect(bootIdOf(after)).not.toBe(bootIdOf(before));
  expect(of(after, 'HELLO')[0]?.ticks).toBeLessThan(16_000);
  expect(of(after, 'BEAT')[0]).toMatchObject({ edgesCaptured: 0, edgesHeld: 0 });
  expect(after.map(({ message }) => message.seq)).toEqual(after.map((_, i) => i));
});

test('at a start HELLO goes before the answer to a PING that is there already', () => {
  const { board, advance, say } = bench();
  advance(2.03);
  board.restart(2.03);
  // On its way when the board restarted.
  say({ kind: 'PING', token: '0123456789ABCDEF' }, 2.0299);
  expect(
    advance(2.1)
      .slice(0, 2)
      .map(({ message }) => [message.kind, message.seq]),
  ).toEqual([
    ['HELLO', 0],
    ['STAMP', 1],
  ]);
});

test('a frame that is on its way when the board restarts is cut off, and the new start ends the stump', () => {
  const { board, say } = bench();
  const text = (timeS: number): string =>
    board
      .advanceTo(timeS)
      .map(({ bytes }) => Buffer.from(bytes).toString('latin1'))
      .join('');
  expect(text(0.53).endsWith('\n')).toBe(true);
  say({ kind: 'WHO' }, 0.535);
  board.restart(0.53551);
  const [stump, hello] = text(0.6).split('\n');
  // 0.51 ms at 50 000 bytes a second.
  expect(stump?.length).toBe(25);
  expect(stump?.startsWith('HELLO ')).toBe(true);
  expect(hello?.startsWith('HELLO 00000000 ')).toBe(true);
});
