import { describe, expect, test } from 'vitest';
import { crc16, decodeBoardLine, decodeHostLine, encodeFrame, encodeMessage, type Message } from '../../protocol/index.ts';

describe('crc16', () => {
  test('gives the check value', () => {
    // RevEng CRC catalogue, CRC-16/IBM-3740, alias CCITT-FALSE: check 0x29B1.
    expect(crc16('123456789')).toBe(0x29b1);
  });

  test('starts at 0xFFFF and leaves 0 after a text with its own CRC behind it', () => {
    expect(crc16('')).toBe(0xffff);
    // Residue 0x0000: same source.
    expect(crc16('123456789\x29\xb1')).toBe(0);
  });
});

describe('encodeMessage refuses what would not come back', () => {
  const data = { kind: 'DATA', stream: 'slow', channel: 0, ticks: 0, periodTicks: 1, counts: [0] } as const;
  const edge = { kind: 'EDGE', input: 1, active: true, ticks: 0, hardwareTimed: true } as const;
  const refused: readonly (readonly [string, unknown])[] = [
    ['counts too large for four digits, which together fill the digits of others', { ...data, counts: [65536, 65536, 65536, 65536] }],
    ['a negative count', { ...data, counts: [-1] }],
    ['half a count', { ...data, counts: [0.5] }],
    ['no counts', { ...data, counts: [] }],
    ['a hole in the counts', { ...data, counts: new Array(2) }],
    ['101 counts', { ...data, counts: new Array(101).fill(0) }],
    ['a period of 0', { ...data, periodTicks: 0 }],
    ['channel 16', { ...data, channel: 16 }],
    ['input 9', { ...edge, input: 9 }],
    ['ticks of 49 bits', { ...edge, ticks: 2 ** 48 }],
    ['ticks that are not a number', { ...edge, ticks: Number.NaN }],
    ['a number as text', { ...edge, ticks: '0' }],
    ['neither blocked nor clear', { ...edge, active: undefined }],
    ['a token in lower case', { kind: 'PING', token: 'abcdefabcdefabcd' }],
    ['a token with a line feed', { kind: 'PING', token: '0000000000000000\n' }],
    ['a range that goes backwards', { kind: 'RESEND', bootId: 0, fromSeq: 2, toSeq: 1 }],
    ['257 numbers', { kind: 'RESEND', bootId: 0, fromSeq: 0, toSeq: 256 }],
    ['a run that goes backwards', { kind: 'GONE', fromSeq: 2, toSeq: 1 }],
    ['sent before received', { kind: 'STAMP', token: '0000000000000000', ticksReceived: 2, ticksSent: 1 }],
    ['a kind that is none', { kind: 'toString' }],
  ];
  test.each(refused)('%s', (_, message) => {
    expect(() => encodeMessage(message as Message, 0)).toThrow(RangeError);
  });

  test.each([-1, 0.5, 2 ** 32, Number.NaN])('number %s', (seq) => {
    expect(() => encodeMessage({ kind: 'WHO' }, seq)).toThrow(RangeError);
  });
});

describe('encodeFrame', () => {
  test.each([
    ['a field with a blank', { kind: 'WHO', seq: 0, fields: ['a b'] }, false],
    ['an empty field', { kind: 'WHO', seq: 0, fields: [''] }, true],
    ['a field with a star', { kind: 'WHO', seq: 0, fields: ['a*b'] }, true],
    ['a field with a line feed', { kind: 'WHO', seq: 0, fields: ['a\n'] }, true],
    ['a line of 512 bytes', { kind: 'WHO', seq: 0, fields: ['x'.repeat(493)] }, false],
    ['a line of 513 bytes', { kind: 'WHO', seq: 0, fields: ['x'.repeat(494)] }, true],
  ])('%s', (_, frame, throws) => {
    if (throws) expect(() => encodeFrame(frame)).toThrow(RangeError);
    else expect(encodeFrame(frame).startsWith('WHO 00000000 ')).toBe(true);
  });
});

describe('a fault', () => {
  test('says where, what and what instead', () => {
    const line = encodeFrame({ kind: 'EDGE', seq: 13, fields: ['9', 'B', '000000000001', 'H'] });
    expect(decodeBoardLine(line)).toEqual({
      ok: false,
      fault: { code: 'bad-field', place: 'input', found: '9', expected: '1 hexadecimal digit, 0 to 8', seq: 13 },
    });
  });

  test('carries the number of a whole frame that is not understood, so that it is not asked for for ever', () => {
    for (const decode of [decodeBoardLine, decodeHostLine]) {
      const decoded = decode(encodeFrame({ kind: 'NOVEL', seq: 77, fields: [] }));
      expect(decoded).toMatchObject({ ok: false, fault: { code: 'unknown-kind', seq: 77 } });
    }
  });

  test('of a damaged line has no number, for the number may be what was damaged', () => {
    const decoded = decodeBoardLine('EDGE 0000000D 1 B 000000000001 H*0000');
    expect(decoded).toMatchObject({ ok: false, fault: { code: 'crc-mismatch' } });
    expect(decoded).not.toHaveProperty('fault.seq');
  });

  test('of a huge line shows a little of it only', () => {
    const decoded = decodeBoardLine('x'.repeat(10_000_000));
    expect(decoded.ok ? '' : JSON.stringify(decoded.fault).length).toBeLessThan(200);
  });
});
