/** Lines are found whatever the chunks, bounded whatever the bytes, and no byte is lost. */
import { PassThrough } from 'node:stream';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { CONTINUED, PIECE_BYTES_MAX } from '../../host/links/index.ts';
import { LineSplitter } from '../../host/links/line-splitter.ts';
import { decodeBoardLine, encodeMessage } from '../../protocol/index.ts';

async function split(chunks: readonly Uint8Array[]): Promise<Buffer[]> {
  const lines: Buffer[] = [];
  const source = new PassThrough();
  const splitter = new LineSplitter(source, (bytes) => lines.push(Buffer.from(bytes)));
  for (const chunk of chunks) {
    source.write(Buffer.from(chunk));
    await new Promise((resolve) => setImmediate(resolve));
  }
  await splitter.finish(source);
  return lines;
}

/** The rule, said another way: over the whole input at once. */
function expectedLines(input: Buffer): Buffer[] {
  const lines = input.toString('latin1').split('\n');
  const pieces = lines.flatMap((line) => {
    const count = Math.max(1, Math.ceil(line.length / PIECE_BYTES_MAX));
    return Array.from({ length: count }, (_, i) => {
      const piece = line.slice(i * PIECE_BYTES_MAX, (i + 1) * PIECE_BYTES_MAX);
      return i === 0 ? piece : String.fromCharCode(CONTINUED) + piece;
    });
  });
  return pieces.filter((piece) => piece !== '').map((piece) => Buffer.from(piece, 'latin1'));
}

function cutAt(input: Buffer, cuts: readonly number[]): Buffer[] {
  const places = [0, ...cuts.map((cut) => Math.min(cut, input.length)).sort((a, b) => a - b), input.length];
  return places.slice(1).map((end, i) => input.subarray(places[i], end));
}

describe('the line splitter', () => {
  test('gives the same lines for any bytes and any cutting', async () => {
    const run = fc.oneof(
      fc.uint8Array({ maxLength: 40 }),
      fc.constantFrom(1022, 1023, 1024, 1025, 2047, 2048, 2049, 3000).map((length) => new Uint8Array(length).fill(0x41)),
      fc.constant(Uint8Array.of(0x0a)),
    );
    await fc.assert(
      fc.asyncProperty(fc.array(run, { maxLength: 12 }), fc.array(fc.nat(9000), { maxLength: 8 }), async (runs, cuts) => {
        const input = Buffer.concat(runs);
        const lines = await split(cutAt(input, cuts));
        expect(lines).toEqual(expectedLines(input));
        expect(Math.max(0, ...lines.map((line) => line.length))).toBeLessThanOrEqual(PIECE_BYTES_MAX + 1);
      }),
      { numRuns: 150 },
    );
  });

  test('never lets the last piece of an overlong line pass for a line', async () => {
    const frame = encodeMessage({ kind: 'GONE', fromSeq: 1, toSeq: 2 }, 7);
    const lines = await split([Buffer.from(`${'A'.repeat(PIECE_BYTES_MAX)}${frame}\n${frame}\n`, 'latin1')]);
    expect(lines.map((line) => decodeBoardLine(line.toString('latin1')).ok)).toEqual([false, false, true]);
  });
});
