import fc from 'fast-check';
import { expect, test } from 'vitest';
import { decodeBoardLine, decodeHostLine, encodeMessage, WIRE, wireLayout } from '../../protocol/index.ts';
import { messageArbitrary, seqArbitrary } from '../support/arbitraries.ts';
import { decodeFrom, encodeAgain, senderOf } from '../support/wire.ts';

test('every message comes back as it went, with and without a carriage return', () => {
  const kinds = new Set<string>();
  fc.assert(
    fc.property(messageArbitrary, seqArbitrary, fc.constantFrom('', '\r'), (message, seq, end) => {
      kinds.add(message.kind);
      const line = encodeMessage(message, seq);
      expect(decodeFrom(senderOf(message.kind), line + end)).toEqual({ ok: true, value: { ...message, seq } });
    }),
    { numRuns: 1000 },
  );
  expect([...kinds].sort()).toEqual([...wireLayout.keys()].sort());
});

test('every line keeps the limits: printable ASCII, one star, length', () => {
  fc.assert(
    fc.property(messageArbitrary, seqArbitrary, (message, seq) => {
      const line = encodeMessage(message, seq);
      expect(line).toMatch(/^[ -)+-~]+\*[0-9A-F]{4}$/);
      expect(line.length + 1).toBeLessThanOrEqual(senderOf(message.kind) === 'host' ? WIRE.hostLineBytesMax : WIRE.lineBytesMax);
    }),
  );
});

test('each side refuses what only the other one sends', () => {
  fc.assert(
    fc.property(messageArbitrary, seqArbitrary, (message, seq) => {
      const wrongWay = senderOf(message.kind) === 'board' ? decodeHostLine : decodeBoardLine;
      expect(wrongWay(encodeMessage(message, seq))).toMatchObject({ ok: false, fault: { code: 'unknown-kind', seq } });
    }),
  );
});

test('a message has one spelling only: what decodes encodes to the same characters', () => {
  // Lines near to valid ones: a few characters of the body changed, the CRC made good again.
  const spelling = fc.tuple(
    messageArbitrary,
    seqArbitrary,
    fc.array(fc.tuple(fc.nat(), fc.constantFrom(...'09afAFSBCHPx -*')), { maxLength: 2 }),
  );
  let accepted = 0;
  fc.assert(
    fc.property(spelling, ([message, seq, changes]) => {
      const characters = [...encodeMessage(message, seq).slice(0, -5)];
      for (const [at, character] of changes) characters[at % characters.length] = character;
      const line = withCrc(characters.join(''));
      for (const sender of ['board', 'host'] as const) {
        const decoded = decodeFrom(sender, line);
        if (!decoded.ok) continue;
        accepted++;
        expect(encodeAgain(decoded.value)).toBe(line);
      }
    }),
    { numRuns: 1000 },
  );
  expect(accepted).toBeGreaterThan(100);
});

/** A second CRC-16/CCITT-FALSE, bit by bit, so that the table in the code is not held against itself. */
function withCrc(body: string): string {
  let crc = 0xffff;
  for (const character of body) {
    crc ^= character.charCodeAt(0) << 8;
    for (let bit = 0; bit < 8; bit++) crc = (crc & 0x8000 ? (crc << 1) ^ 0x1021 : crc << 1) & 0xffff;
  }
  return `${body}*${crc.toString(16).toUpperCase().padStart(4, '0')}`;
}
