/**
 * One suite over both gate boards: the simulated one, and the very program that is flashed, run cycle by cycle. What is
 * asked here is docs/protocol.md; the same stimuli must bring the same frames, up to the time stamps' tolerance.
 */
import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, test } from 'vitest';
import { buildFirmware } from '../../firmware-sim/avr/bench/index.ts';
import type { InputEdge } from '../../firmware-sim/world/gates.ts';
import { type BoardBench, flashableBench, linesOf, type ReceivedLine, simulatedBench } from '../support/board-benches.ts';

let program: Uint16Array = new Uint16Array();
beforeAll(() => {
  program = buildFirmware().program;
});

const TICKS_PER_S = 16_000_000;
/** Both keep this many. */
const EDGES_MAX = 64;
/** Quartz error and the two boards' own delays, over the few milliseconds between two edges: ticks. */
const TICKS_TOLERANCE = 2;
/** A PING of 36 bytes on the line. */
const PING_S = 36 * 20e-6;

const pulses = (count: number, fromS: number): InputEdge[] =>
  Array.from({ length: count }, (_, i) => ({ input: 1 + ((i >> 1) % 4), active: i % 2 === 0, timeS: fromS + i * 1e-4 }));
const bootIdOf = (received: readonly ReceivedLine[]): number => linesOf(received, 'HELLO')[0]?.bootId ?? -1;

describe.each([
  ['simulated', () => simulatedBench(3)],
  ['flashable', () => flashableBench(program, 3)],
] as const)('the %s board', (_, make: () => BoardBench) => {
  test('says HELLO at its start and when asked, stamps a PING ahead of all else, and numbers without a gap', () => {
    const { advance, say, edges } = make();
    const start = advance(0.15);
    expect(start[0]?.message).toMatchObject({ kind: 'HELLO', seq: 0, protocolVersion: 1, boardId: 'CS-GB-01', resetCause: 'power' });
    edges(...pulses(4, 0.2));
    say({ kind: 'PING', token: '0123456789ABCDEF' }, 0.2);
    say({ kind: 'WHO' }, 0.2);
    const after = advance(0.4);
    const all = [...start, ...after];
    expect(all.map(({ message }) => message.seq)).toEqual(all.map((__, i) => i));
    const [stamp] = linesOf(after, 'STAMP');
    const [again] = linesOf(after, 'HELLO');
    expect(stamp?.token).toBe('0123456789ABCDEF');
    expect(stamp?.ticksSent).toBeGreaterThanOrEqual(stamp?.ticksReceived ?? Number.POSITIVE_INFINITY);
    expect(again).toMatchObject({ bootId: bootIdOf(start), resetCause: 'power' });
    // Its ticks go with the time on the line: what left later was stamped later, by the same amount.
    const at = after.find(({ message }) => message.kind === 'STAMP');
    const beganS = (at?.timeS ?? 0) - ((at?.line.length ?? 0) + 1) / 50_000;
    const heldS = ((stamp?.ticksSent ?? 0) - (stamp?.ticksReceived ?? 0)) / TICKS_PER_S;
    // PING's line feed arrives with its first byte, or 35 bytes later.
    expect(beganS - heldS - 0.2).toBeGreaterThan(-1e-4);
    // Between two bytes of a line a board may pause, as long as the stamp is true for the first.
    expect(beganS - heldS - 0.2).toBeLessThan(PING_S + 4e-4);
    // Once PING is there, only the line that is under way is finished before its answer.
    const since = after.filter(({ timeS }) => timeS > 0.2 + PING_S).map(({ message }) => message.kind);
    expect(since.indexOf('STAMP')).toBeGreaterThanOrEqual(0);
    expect(since.indexOf('STAMP')).toBeLessThanOrEqual(1);
    const kinds = after.map(({ message }) => message.kind);
    expect(kinds.filter((kind) => kind === 'EDGE')).toHaveLength(4);
  });

  test('names each edge, its level and its time', () => {
    const { advance, edges } = make();
    const sent: InputEdge[] = [
      { input: 0, active: true, timeS: 0.1 },
      // A long ball: both gates of a capture unit are blocked at once, and cleared in the other order.
      { input: 1, active: true, timeS: 0.102 },
      { input: 3, active: true, timeS: 0.1021 },
      { input: 2, active: true, timeS: 0.1022 },
      { input: 4, active: true, timeS: 0.1023 },
      { input: 3, active: false, timeS: 0.1024 },
      { input: 1, active: false, timeS: 0.1025 },
      { input: 4, active: false, timeS: 0.1026 },
      { input: 2, active: false, timeS: 0.1027 },
      { input: 0, active: false, timeS: 0.12 },
    ];
    edges(...sent);
    const got = linesOf(advance(0.3), 'EDGE');
    expect(got.map(({ input, active }) => [input, active])).toEqual(sent.map(({ input, active }) => [input, active]));
    const gates = got.filter(({ input }) => input > 0);
    expect(gates.every(({ hardwareTimed }) => hardwareTimed)).toBe(true);
    const wanted = sent.filter(({ input }) => input > 0);
    for (const [i, edge] of gates.entries()) {
      const ticks = ((wanted[i]?.timeS ?? 0) - (wanted[0]?.timeS ?? 0)) * TICKS_PER_S;
      expect(Math.abs(edge.ticks - (gates[0]?.ticks ?? 0) - ticks)).toBeLessThanOrEqual(TICKS_TOLERANCE);
    }
    // The trigger times nothing; on the flashable board a program takes its time.
    const triggerLate = (gates[0]?.ticks ?? 0) - (got[0]?.ticks ?? 0) - 0.002 * TICKS_PER_S;
    expect(Math.abs(triggerLate)).toBeLessThan(10e-6 * TICKS_PER_S);
  });

  test('samples each channel at even steps, in blocks that follow each other', () => {
    const received = make().advance(0.4);
    const blocks = linesOf(received, 'DATA');
    const channels = [...new Set(blocks.map(({ channel }) => channel))];
    expect(channels.length).toBeGreaterThanOrEqual(2);
    for (const channel of channels) {
      const mine = blocks.filter((block) => block.channel === channel);
      expect(mine.length).toBeGreaterThanOrEqual(6);
      for (const [i, block] of mine.entries()) {
        expect([block.stream, block.periodTicks, block.counts.length]).toEqual(['slow', 16_000, 50]);
        const next = mine[i + 1];
        if (next) expect(next.ticks - block.ticks).toBe(50 * 16_000);
        // The ramp climbs by one count a millisecond, up to 200; its place within the block says when it was read.
        const steps = block.counts.slice(1).map((count, j) => count - (block.counts[j] ?? 0));
        expect(steps.every((step) => step === -199 || (step >= 0 && step <= 2))).toBe(true);
        expect(block.counts.every((count) => Math.floor(count / 200) === channel)).toBe(true);
      }
    }
  });

  test('keeps edges until they are acknowledged, refuses the newest when full, counts it, and sends the same bytes again', () => {
    const { advance, edges, say } = make();
    const start = advance(0.1);
    const bootId = bootIdOf(start);
    edges(...pulses(EDGES_MAX + 10, 0.2), { input: 3, active: true, timeS: 0.3 });
    const received = [...start, ...advance(0.6)];
    const sent = received.filter(({ message }) => message.kind === 'EDGE');
    expect(sent).toHaveLength(EDGES_MAX);
    const [first, last] = [sent[0]?.message.seq ?? 0, sent.at(-1)?.message.seq ?? 0];
    // A foreign boot's ACK and RESEND do nothing.
    say({ kind: 'ACK', bootId: (bootId ^ 1) >>> 0, upToSeq: last }, 0.6);
    say({ kind: 'RESEND', bootId: (bootId ^ 1) >>> 0, fromSeq: first, toSeq: last }, 0.61);
    say({ kind: 'RESEND', bootId, fromSeq: first - 1, toSeq: last }, 0.62);
    const again = advance(0.85).filter(({ message }) => message.seq <= last);
    expect(again.slice(0, EDGES_MAX).map(({ line }) => line)).toEqual(sent.map(({ line }) => line));
    say({ kind: 'ACK', bootId, upToSeq: sent[59]?.message.seq ?? 0 }, 0.9);
    const [beat] = linesOf(advance(1.05), 'BEAT');
    expect(beat).toMatchObject({ edgesCaptured: EDGES_MAX + 11, edgesLost: 11, edgesHeld: 4, inputsActive: 0b1000, hostLinesBad: 0 });
    // Room again; what was let go is GONE, in one run, and the rest comes as it was.
    edges({ input: 3, active: false, timeS: 1.06 });
    say({ kind: 'RESEND', bootId, fromSeq: first, toSeq: last }, 1.07);
    const later = advance(1.2);
    const answers = later.filter(({ message }) => message.kind === 'GONE' || (message.kind === 'EDGE' && message.seq <= last));
    expect(answers.filter(({ message }) => message.kind === 'EDGE').map(({ line }) => line)).toEqual(
      sent.slice(60).map(({ line }) => line),
    );
    const gone = linesOf(later, 'GONE').reduce((sum, { fromSeq, toSeq }) => sum + toSeq - fromSeq + 1, 0);
    expect(gone).toBe(60);
    expect(linesOf(later, 'EDGE').at(-1) ?? linesOf(later, 'EDGE')[0]).toBeDefined();
    expect(linesOf(later, 'EDGE').some(({ seq, input, active }) => seq > last && input === 3 && !active)).toBe(true);
  });

  test('sends samples and heartbeats again byte for byte, and says GONE for what never was kept', () => {
    const { advance, say } = make();
    const received = advance(1.2);
    const bootId = bootIdOf(received);
    const newest = received.at(-1)?.message.seq ?? 0;
    const fromSeq = newest - 25;
    say({ kind: 'RESEND', bootId, fromSeq, toSeq: newest + 200 }, 1.2);
    const after = advance(1.5);
    const again = after.filter(({ message }) => message.seq <= newest);
    const asked = received.filter(({ message }) => message.seq >= fromSeq);
    expect(again.map(({ line }) => line)).toEqual(asked.map(({ line }) => line));
    expect(asked.some(({ message }) => message.kind === 'BEAT')).toBe(true);
    // New numbers go on meanwhile without a gap; the one that was under way when it was asked for may come twice.
    const fresh = [...new Set(after.filter(({ message }) => message.seq > newest).map(({ message }) => message.seq))];
    fresh.sort((a, b) => a - b);
    expect(fresh).toEqual(fresh.map((__, i) => newest + 1 + i));
  });

  test('reads every valid line of the corpus, and refuses and counts every other', () => {
    const { advance, send } = make();
    const bytesOf = (name: string): Buffer => readFileSync(new URL(`../wire/corpus/${name}.txt`, import.meta.url));
    const countOf = (name: string): number =>
      (JSON.parse(readFileSync(new URL(`../wire/corpus/${name}.json`, import.meta.url), 'utf8')) as unknown[]).length;
    advance(0.05);
    send(bytesOf('host-valid'), 0.1);
    send(bytesOf('host-invalid'), 0.5);
    send(Buffer.from('\n\r\n\n'), 0.9);
    const [beat] = linesOf(advance(1.1), 'BEAT');
    expect(beat?.hostLinesBad).toBe(countOf('host-invalid'));
  });
});
