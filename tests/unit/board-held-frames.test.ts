/** What the board keeps and what makes room, and in which order a RESEND is answered. */
import { expect, test } from 'vitest';
import { createHeldFrames } from '../../firmware-sim/boards/held-frames.ts';
import { createResendQueue } from '../../firmware-sim/boards/resend-queue.ts';

const nothing = (): boolean => false;

test('the oldest makes room, edges apart', () => {
  const held = createHeldFrames(3);
  held.holdEdge(0, 'edge');
  for (let seq = 1; seq <= 5; seq++) held.holdOther(seq, `frame ${seq}`, nothing);
  expect([0, 1, 2, 3, 4, 5].map((seq) => held.get(seq))).toEqual(['edge', undefined, undefined, 'frame 3', 'frame 4', 'frame 5']);
  held.acknowledge(0);
  expect(held.oldest()).toBe(3);
});

test('what is wanted is passed over; where all is wanted, the new frame is not kept', () => {
  const held = createHeldFrames(3);
  for (let seq = 1; seq <= 3; seq++) held.holdOther(seq, `frame ${seq}`, nothing);
  held.holdOther(4, 'frame 4', (seq) => seq <= 2);
  expect([1, 2, 3, 4].map((seq) => held.get(seq) !== undefined)).toEqual([true, true, false, true]);
  held.holdOther(5, 'frame 5', (seq) => seq <= 4);
  expect([1, 2, 3, 4, 5].map((seq) => held.get(seq) !== undefined)).toEqual([true, true, false, true, false]);
});

test('edges of all requests come first; the rest in runs, each number once; served numbers are wanted no more', () => {
  const held = createHeldFrames(100);
  for (let seq = 0; seq < 12; seq++) {
    if ([3, 4, 11].includes(seq)) held.holdEdge(seq, `edge ${seq}`);
    else if (seq >= 5) held.holdOther(seq, `frame ${seq}`, nothing);
  }
  const queue = createResendQueue(2);
  queue.add({ fromSeq: 1, toSeq: 6 }, held);
  queue.add({ fromSeq: 10, toSeq: 11 }, held);
  queue.add({ fromSeq: 8, toSeq: 8 }, held);
  expect([1, 6, 8, 10].map(queue.isWanted)).toEqual([true, true, false, true]);
  const edges = [queue.nextEdge(held), queue.nextEdge(held), queue.nextEdge(held), queue.nextEdge(held)];
  expect(edges).toEqual(['edge 3', 'edge 4', 'edge 11', undefined]);
  expect(queue.nextOther(held)).toEqual({ fromSeq: 1, toSeq: 2 });
  expect(queue.nextOther(held)).toBe('frame 5');
  expect([1, 5, 6, 10].map(queue.isWanted)).toEqual([false, false, true, true]);
  expect([queue.nextOther(held), queue.nextOther(held)]).toEqual(['frame 6', 'frame 10']);
  expect(queue.waiting).toBe(false);
  expect(queue.nextOther(held)).toBeUndefined();
});

test('a request for edges alone leaves nothing behind', () => {
  const held = createHeldFrames(0);
  held.holdEdge(7, 'edge 7');
  const queue = createResendQueue(1);
  queue.add({ fromSeq: 7, toSeq: 7 }, held);
  expect(queue.nextEdge(held)).toBe('edge 7');
  expect(queue.waiting).toBe(false);
});
