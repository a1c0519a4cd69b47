/**
 * The host's side of sequence and resend against a model board, over a line that loses, repeats and delays frames
 * both ways: every edge is taken in exactly once, nothing is acknowledged that has not been taken in, and in the end
 * the board holds nothing.
 */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { acknowledge, awaitedCount, NEW_SEQUENCE, passTime, type SequenceState, takeFrame } from '../../host/pipeline/sequence.ts';
import type { BoardMessage, HostMessage, Sequenced } from '../../protocol/index.ts';

type Framed = Sequenced<BoardMessage>;

/** Keeps edges until they are acknowledged, and the newest few of the rest. */
class ModelBoard {
  readonly out: Framed[] = [];
  readonly held = new Map<number, Framed>();
  edgesSent = 0;
  #seq = 0;
  constructor(
    readonly bootId: number,
    readonly keep: number,
  ) {
    this.hello();
  }
  hello(): void {
    const oldestHeldSeq = Math.min(this.#seq, ...this.held.keys());
    this.#send({
      kind: 'HELLO',
      protocolVersion: 1,
      boardId: 'B',
      bootId: this.bootId,
      resetCause: 'power',
      tickRateHz: 1e6,
      ticks: 0,
      gateInputCount: 4,
      channelCount: 2,
      oldestHeldSeq,
    });
  }
  edge(): void {
    this.edgesSent++;
    this.#send({ kind: 'EDGE', input: 1, active: true, ticks: this.#seq, hardwareTimed: true });
  }
  data(): void {
    this.#send({ kind: 'DATA', stream: 'slow', channel: 0, ticks: this.#seq, periodTicks: 1, counts: [1] });
  }
  hear(message: HostMessage): void {
    if (message.kind === 'WHO') this.hello();
    if (message.kind === 'ACK' && message.bootId === this.bootId) {
      for (const [seq, frame] of this.held) if (frame.kind === 'EDGE' && seq <= message.upToSeq) this.held.delete(seq);
    }
    if (message.kind !== 'RESEND' || message.bootId !== this.bootId) return;
    const newest = this.#seq - 1;
    let goneFrom: number | undefined;
    for (let seq = message.fromSeq; seq <= Math.min(message.toSeq, newest); seq++) {
      const frame = this.held.get(seq);
      if (!frame) goneFrom ??= seq;
      if (frame && goneFrom !== undefined) this.#send({ kind: 'GONE', fromSeq: goneFrom, toSeq: seq - 1 });
      if (frame) {
        goneFrom = undefined;
        this.out.push(frame);
      }
    }
    if (goneFrom !== undefined) this.#send({ kind: 'GONE', fromSeq: goneFrom, toSeq: Math.min(message.toSeq, newest) });
  }
  #send(message: BoardMessage): void {
    const frame = { ...message, seq: this.#seq++ } as Framed;
    this.out.push(frame);
    this.held.set(frame.seq, frame);
    const others = [...this.held.values()].filter((held) => held.kind !== 'EDGE');
    for (const old of others.slice(0, -this.keep || undefined)) this.held.delete(old.seq);
  }
}

const step = fc.record({
  act: fc.constantFrom('edge', 'data', 'wait', 'restart-link'),
  up: fc.constantFrom('pass', 'pass', 'pass', 'lose', 'repeat', 'swap'),
  down: fc.constantFrom('pass', 'pass', 'lose'),
});

test('every edge arrives once, whatever the line does', () => {
  fc.assert(
    fc.property(fc.array(step, { minLength: 5, maxLength: 120 }), fc.integer({ min: 1, max: 20 }), (steps, keep) => {
      const board = new ModelBoard(7, keep);
      let host: SequenceState = NEW_SEQUENCE;
      let nowNs = 0;
      const taken = new Set<number>();
      const deliver = (frame: Framed, loseReply: boolean) => {
        const outcome = takeFrame(host, frame, nowNs);
        host = outcome.state;
        if (outcome.accepted && frame.kind === 'EDGE') {
          expect(taken.has(frame.seq)).toBe(false);
          taken.add(frame.seq);
        }
        const [acknowledged, acks] = acknowledge(host, Number.POSITIVE_INFINITY);
        host = acknowledged;
        for (const request of [...outcome.requests, ...acks]) answer(request, loseReply);
      };
      const answer = (request: HostMessage, lose: boolean) => {
        if (request.kind === 'ACK') {
          for (const [seq, frame] of board.held) if (frame.kind === 'EDGE' && seq <= request.upToSeq) expect(taken.has(seq)).toBe(true);
        }
        if (!lose) board.hear(request);
      };
      const drain = (up: string, down: string) => {
        const frames = board.out.splice(0);
        if (up === 'swap') frames.reverse();
        for (const frame of frames) {
          if (up === 'lose') continue;
          deliver(frame, down === 'lose');
          if (up === 'repeat') deliver(frame, down === 'lose');
        }
      };
      for (const { act, up, down } of steps) {
        nowNs += 50e6;
        if (act === 'edge') board.edge();
        if (act === 'data') board.data();
        if (act === 'restart-link') answer({ kind: 'WHO' }, down === 'lose');
        drain(up, down);
      }
      // A good line again: all that is held comes in, within a bounded number of askings.
      for (
        let i = 0;
        i < 400 && (taken.size < board.edgesSent || awaitedCount(host) > 0 || [...board.held.values()].some((f) => f.kind === 'EDGE'));
        i++
      ) {
        nowNs += 2.1e9;
        board.data();
        if (i % 10 === 9) board.edge();
        const passed = passTime(host, nowNs);
        host = passed.state;
        for (const request of passed.requests) answer(request, false);
        drain('pass', 'pass');
      }
      expect(taken.size).toBe(board.edgesSent);
      expect(awaitedCount(host)).toBe(0);
    }),
  );
});

test('memory stays bounded when every second frame is lost', () => {
  let host = takeFrame(
    NEW_SEQUENCE,
    {
      kind: 'HELLO',
      protocolVersion: 1,
      boardId: 'B',
      bootId: 1,
      resetCause: 'power',
      tickRateHz: 1e6,
      ticks: 0,
      gateInputCount: 4,
      channelCount: 2,
      oldestHeldSeq: 0,
      seq: 0,
    },
    0,
  ).state;
  for (let seq = 2; seq < 20_000; seq += 2) {
    host = takeFrame(host, { kind: 'DATA', stream: 'slow', channel: 0, ticks: seq, periodTicks: 1, counts: [1], seq }, seq).state;
  }
  expect(host.missing.length).toBeLessThanOrEqual(64);
  // What would open one gap too many is refused and fetched later, in order.
  expect(host.framesMissed).toBe(64);
  expect(host.nextSeq).toBeLessThan(200);
});
