import fc from 'fast-check';
import { expect, test } from 'vitest';
import { decodeBoardLine, decodeFrame, decodeHostLine, encodeMessage } from '../../protocol/index.ts';
import { boardMessageArbitrary, messageArbitrary, seqArbitrary } from '../support/arbitraries.ts';
import { decodeFrom, senderOf } from '../support/wire.ts';

const bytesOf = (text: string) => Uint8Array.from(text, (character) => character.charCodeAt(0));
const textOf = (bytes: Uint8Array) => Array.from(bytes, (byte) => String.fromCharCode(byte)).join('');

/** What a receiver makes of a stream: the messages, in order, as lines that were accepted. */
const acceptedLines = (stream: string, sender: 'board' | 'host') => stream.split('\n').filter((line) => decodeFrom(sender, line).ok);

test('any one flipped bit, line feeds included, costs the line it is in and never makes another message', () => {
  fc.assert(
    fc.property(boardMessageArbitrary, boardMessageArbitrary, seqArbitrary, (first, second, seq) => {
      const lines = [encodeMessage(first, seq), encodeMessage(second, seq)] as const;
      const stream = `${lines[0]}\n${lines[1]}\n`;
      const bytes = bytesOf(stream);
      const feedAt = lines[0].length;
      for (let bit = 0; bit < bytes.length * 8; bit++) {
        const damaged = bytes.slice();
        const at = bit >> 3;
        damaged[at] = (damaged[at] as number) ^ (1 << (bit & 7));
        const left = at < feedAt ? [lines[1]] : at === feedAt || at === bytes.length - 1 ? undefined : [lines[0]];
        const accepted = acceptedLines(textOf(damaged), 'board');
        // A damaged line feed costs the lines on both its sides, or the last one.
        if (left) expect(accepted).toEqual(left);
        else expect(accepted).toEqual(at === feedAt ? [] : [lines[0]]);
      }
    }),
    { numRuns: 40 },
  );
});

test('any change confined to two neighbouring characters is refused', () => {
  fc.assert(
    fc.property(messageArbitrary, seqArbitrary, fc.nat(), fc.integer({ min: 1, max: 0xffff }), (message, seq, where, change) => {
      const line = encodeMessage(message, seq);
      const damaged = bytesOf(line);
      const at = where % (line.length - 1);
      damaged[at] = (damaged[at] as number) ^ (change >> 8);
      damaged[at + 1] = (damaged[at + 1] as number) ^ (change & 0xff);
      expect(acceptedLines(textOf(damaged), senderOf(message.kind))).toEqual([]);
    }),
    { numRuns: 5000 },
  );
});

test('two flipped bits before the star, wherever they are, are refused', () => {
  fc.assert(
    fc.property(messageArbitrary, seqArbitrary, fc.nat(), fc.nat(), (message, seq, one, other) => {
      const line = encodeMessage(message, seq);
      const bits = (line.length - 5) * 8;
      fc.pre(one % bits !== other % bits);
      const damaged = bytesOf(line);
      for (const bit of [one % bits, other % bits]) damaged[bit >> 3] = (damaged[bit >> 3] as number) ^ (1 << (bit & 7));
      expect(acceptedLines(textOf(damaged), senderOf(message.kind))).toEqual([]);
    }),
    { numRuns: 5000 },
  );
});

test('a line cut short anywhere, or run into the next one, is refused', () => {
  fc.assert(
    fc.property(boardMessageArbitrary, boardMessageArbitrary, seqArbitrary, fc.nat(), (first, second, seq, where) => {
      const line = encodeMessage(first, seq);
      const cut = line.slice(0, where % line.length);
      expect(decodeBoardLine(cut).ok).toBe(false);
      if (cut.length > 0) expect(decodeBoardLine(cut + encodeMessage(second, seq)).ok).toBe(false);
    }),
    { numRuns: 1000 },
  );
});

test('garbage is refused by value, with a short printable account of it', () => {
  const garbage = fc.oneof(
    fc.string({ unit: 'binary', maxLength: 700 }),
    fc.string({ unit: 'grapheme', maxLength: 700 }),
    fc.uint8Array({ maxLength: 700 }).map(textOf),
    fc.string({ unit: fc.constantFrom(...'HELO EDGATBWS0123456789ABCDEF*\r \t'), maxLength: 60 }),
  );
  fc.assert(
    fc.property(garbage, (text) => {
      for (const decode of [decodeFrame, decodeBoardLine, decodeHostLine]) {
        const decoded = decode(text);
        expect(decoded.ok).toBe(false);
        if (decoded.ok) continue;
        expect(decoded.fault.found).toMatch(/^[ -~]{0,80}…?$/);
        expect(decoded.fault.seq).toBeUndefined();
      }
    }),
    { numRuns: 2000 },
  );
});
