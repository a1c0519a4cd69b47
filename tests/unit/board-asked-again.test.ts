/** What the gate board sends again, and what it no longer can. */
import { describe, expect, test } from 'vitest';
import { BOARD } from '../../firmware-sim/boards/gate-board.ts';
import { bench, bootIdOf, of, pulses, type Received } from '../support/gate-board-bench.ts';

describe('what is asked for again', () => {
  test('comes byte for byte as it was, edges first, each in order', () => {
    const { advance, edges, say } = bench();
    edges(...pulses(4, 1.5));
    const received = advance(3);
    say({ kind: 'RESEND', bootId: bootIdOf(received), fromSeq: 5, toSeq: 70 }, 3);
    const again = advance(5).filter(({ message }) => message.seq <= 70);
    const asked = received.filter(({ message }) => message.seq >= 5 && message.seq <= 70);
    const isEdge = ({ message }: Received): boolean => message.kind === 'EDGE';
    expect(asked.filter(isEdge)).toHaveLength(4);
    expect(again.map(({ line }) => line)).toEqual(
      [...asked.filter(isEdge), ...asked.filter((each) => !isEdge(each))].map(({ line }) => line),
    );
    expect(again.length).toBe(66);
  });

  test('is GONE in runs where it is no longer held, but never an edge that was not acknowledged', () => {
    const { advance, edges, say } = bench();
    edges(...pulses(2, 0.5));
    const received = [...advance(40)];
    const bootId = bootIdOf(received);
    const [e0, e1] = of(received, 'EDGE').map(({ seq }) => seq) as [number, number];
    expect(received.length).toBeGreaterThan(BOARD.othersMax + 256);
    say({ kind: 'RESEND', bootId, fromSeq: 0, toSeq: 100 }, 40);
    const answer = advance(40.3).filter(({ message }) => message.kind === 'GONE' || message.seq <= 100);
    expect(answer.map(({ message }) => (message.kind === 'GONE' ? [message.fromSeq, message.toSeq] : message.seq))).toEqual(
      e1 === e0 + 1 ? [e0, e1, [0, e0 - 1], [e1 + 1, 100]] : [e0, e1, [0, e0 - 1], [e0 + 1, e1 - 1], [e1 + 1, 100]],
    );
    // Acknowledged, they too may go; the lowest number held follows.
    say({ kind: 'ACK', bootId, upToSeq: e1 }, 41);
    say({ kind: 'WHO' }, 41);
    say({ kind: 'RESEND', bootId, fromSeq: e0, toSeq: e1 }, 41);
    const later = advance(41.5);
    expect(of(later, 'HELLO')[0]?.oldestHeldSeq).toBeGreaterThan(100);
    expect(of(later, 'GONE')).toMatchObject([{ fromSeq: e0, toSeq: e1 }]);
  });

  test.each([38_400, 500_000])('is not pushed out by what is sent meanwhile, GONE included (full memory, %i baud)', (baudRate) => {
    const { advance, say } = bench({ baudRate });
    const bootId = bootIdOf(advance(60));
    say({ kind: 'WHO' }, 60);
    const fromSeq = of(advance(60.3), 'HELLO')[0]?.oldestHeldSeq ?? 0;
    expect(fromSeq).toBeGreaterThan(256);
    const toSeq = fromSeq + 255;
    say({ kind: 'RESEND', bootId, fromSeq, toSeq }, 60.3);
    const after = advance(90);
    const again = after.map(({ message }) => message.seq).filter((seq) => seq <= toSeq);
    const gone = of(after, 'GONE');
    // What came in between HELLO and RESEND may have cost the oldest ones, in one run.
    expect(gone.length).toBeLessThanOrEqual(1);
    const held = (gone[0]?.toSeq ?? fromSeq - 1) + 1;
    expect(held - fromSeq).toBeLessThan(20);
    expect(again).toEqual(Array.from({ length: toSeq - held + 1 }, (_, i) => held + i));
  });

  test('comes whole where all that is kept has been asked for at once', () => {
    const { advance, say } = bench();
    const bootId = bootIdOf(advance(40));
    say({ kind: 'WHO' }, 40);
    const [hello] = of(advance(40.01), 'HELLO');
    const [oldest, newest] = [hello?.oldestHeldSeq ?? 0, hello?.seq ?? 0];
    expect(newest - oldest).toBeGreaterThanOrEqual(BOARD.othersMax - 2);
    for (let fromSeq = oldest; fromSeq <= newest; fromSeq += 256) {
      say({ kind: 'RESEND', bootId, fromSeq, toSeq: Math.min(fromSeq + 255, newest) }, 40.01);
    }
    const after = advance(50);
    const missing = of(after, 'GONE').reduce((sum, gone) => sum + gone.toSeq - gone.fromSeq + 1, 0);
    // HELLO itself and what was sent before RESEND came took the room of the oldest.
    expect(missing).toBeLessThan(6);
    const again = new Set(after.map(({ message }) => message.seq).filter((seq) => seq >= oldest && seq <= newest));
    expect(again.size + missing).toBe(newest - oldest + 1);
  });

  test('being an edge, goes before all else that was asked for, and before samples', () => {
    const { advance, edges, say } = bench();
    edges({ input: 1, active: true, timeS: 9 });
    const received = advance(9.5);
    const bootId = bootIdOf(received);
    const edge = of(received, 'EDGE')[0]?.seq ?? 0;
    expect(edge).toBeGreaterThan(300);
    // The last of a full range; then alone, behind a full range of others.
    say({ kind: 'RESEND', bootId, fromSeq: edge - 255, toSeq: edge }, 9.5);
    const first = advance(11.5).map(({ message }) => message.seq);
    expect(first.indexOf(edge)).toBeGreaterThanOrEqual(0);
    expect(first.indexOf(edge)).toBeLessThanOrEqual(1);
    expect(first.filter((seq) => seq <= edge)).toEqual([edge, ...Array.from({ length: 255 }, (_, i) => edge - 255 + i)]);

    say({ kind: 'RESEND', bootId, fromSeq: edge - 256, toSeq: edge - 1 }, 11.5);
    advance(11.6);
    // The burst's samples wait too.
    edges({ input: 0, active: true, timeS: 11.6 });
    advance(11.7);
    say({ kind: 'RESEND', bootId, fromSeq: edge, toSeq: edge }, 11.7);
    const second = advance(13).map(({ message }) => message.seq);
    expect(second.indexOf(edge)).toBeGreaterThanOrEqual(0);
    expect(second.indexOf(edge)).toBeLessThanOrEqual(1);
    expect(second.filter((seq) => seq < edge).length).toBeGreaterThan(200);
  });

  test('is GONE for an edge that was let go while it waited', () => {
    const { advance, edges, say } = bench({ baudRate: 38_400 });
    edges({ input: 1, active: true, timeS: 1.5 });
    const received = advance(2);
    const bootId = bootIdOf(received);
    const seq = of(received, 'EDGE')[0]?.seq ?? 0;
    say({ kind: 'PING', token: '0123456789ABCDEF' }, 2);
    say({ kind: 'RESEND', bootId, fromSeq: seq, toSeq: seq }, 2);
    say({ kind: 'ACK', bootId, upToSeq: seq }, 2);
    const after = advance(2.5);
    expect(after.some(({ message }) => message.seq === seq)).toBe(false);
    expect(of(after, 'GONE')).toMatchObject([{ fromSeq: seq, toSeq: seq }]);
  });

  test('is GONE again, under a new number, where it was itself a GONE', () => {
    const { advance, say } = bench();
    const bootId = bootIdOf(advance(40));
    say({ kind: 'RESEND', bootId, fromSeq: 3, toSeq: 9 }, 40);
    const [gone] = of(advance(40.1), 'GONE');
    expect(gone).toMatchObject({ fromSeq: 3, toSeq: 9 });
    const seq = gone?.seq ?? 0;
    say({ kind: 'RESEND', bootId, fromSeq: seq, toSeq: seq }, 40.1);
    const [again] = of(advance(40.2), 'GONE');
    expect(again).toMatchObject({ fromSeq: seq, toSeq: seq });
    expect(again?.seq).toBeGreaterThan(seq);
  });

  test('of another boot, or not yet sent, is no answer at all', () => {
    const { advance, say } = bench();
    const received = advance(2);
    const bootId = bootIdOf(received);
    const next = received.length;
    say({ kind: 'RESEND', bootId: (bootId ^ 1) >>> 0, fromSeq: 0, toSeq: 5 }, 2);
    say({ kind: 'RESEND', bootId, fromSeq: 100_000, toSeq: 100_005 }, 2);
    const after = advance(4);
    expect(after.map(({ message }) => message.seq)).toEqual(after.map((_, i) => next + i));
    expect(of(after, 'GONE')).toHaveLength(0);
  });
});
