/** Reads on the board's bus, against a board that answers late: no answer is taken for that of another question. */
import { EventEmitter } from 'node:events';
import type { Firmata } from 'firmata-io';
import type { Board } from 'johnny-five';
import { expect, test } from 'vitest';
import { I2cRequests } from '../../host/links/firmata/i2c-requests.ts';

test('an answer that comes after its time is not taken for the next one, which is asked only once the line is clear', async () => {
  const io = new EventEmitter();
  const reply = 'I2C-reply-118-242';
  let asked = 0;
  let askedInOrder = 0;
  const board = {
    i2cReadOnce: (_address: number, _register: number, _count: number, done: (bytes: readonly number[]) => void) => {
      asked += 1;
      io.once(reply, done);
      // The second question is answered at once.
      if (asked === 2) queueMicrotask(() => io.emit(reply, [2]));
    },
  };
  const askInOrder = () => {
    askedInOrder += 1;
    // What was late comes first, then the answer to this.
    queueMicrotask(() => {
      io.emit(reply, [1]);
      io.emit('queryfirmware');
    });
  };
  const bus = new I2cRequests(board as unknown as Board, io as unknown as Firmata, { answerMs: 20, askInOrder });
  const signal = new AbortController().signal;
  expect(await bus.read(0x76, 0xf2, 1, signal)).toBeUndefined();
  expect(io.listenerCount(reply)).toBe(0);
  expect(await bus.read(0x76, 0xf2, 1, signal)).toEqual(Uint8Array.of(2));
  expect([asked, askedInOrder]).toEqual([2, 1]);
});

test.each([
  ['too few bytes', [1, 2]],
  ['too many', [1, 2, 3, 4]],
  ['more than a byte holds', [1, 2, 300]],
])('an answer of %s is none', async (_, bytes) => {
  const io = new EventEmitter();
  const board = {
    i2cReadOnce: (_address: number, _register: number, _count: number, done: (answer: readonly number[]) => void) => done(bytes),
  };
  const bus = new I2cRequests(board as unknown as Board, io as unknown as Firmata, { answerMs: 1000, askInOrder: () => {} });
  expect(await bus.read(0x76, 0xf2, 3, new AbortController().signal)).toBeUndefined();
});
