/** The frame decoder and all behind it: what a gate board, and a text instrument, may put on the wire in any chunks. */
import { PassThrough } from 'node:stream';
import fc from 'fast-check';
import { LineSplitter } from '../../../host/links/line-splitter.ts';
import { loadRig, textReader } from '../../../host/rig/index.ts';
import { decodeBoardLine, decodeFrame, decodeHostLine, encodeMessage, type PosternRecord } from '../../../protocol/index.ts';
import { boardMessageArbitrary, seqArbitrary } from '../../support/arbitraries.ts';
import { type Edit, edited, editsArbitrary } from '../damage.ts';
import { fold, HERON, INSTRUMENTS, opened } from '../folding.ts';
import { base64Of, bytesOf, type FuzzTarget } from '../target.ts';

interface Input {
  /** base64 */
  readonly stream: string;
  readonly edits: readonly Edit[];
  /** Bytes a chunk, in turn. */
  readonly cuts: readonly number[];
  /** Between two lines, ns. */
  readonly gapNs: number;
  readonly source: string;
}

const frames = fc
  .array(fc.tuple(boardMessageArbitrary, fc.oneof(seqArbitrary, fc.nat(20))), { maxLength: 30 })
  .map((sent) => sent.map(([message, seq]) => `${encodeMessage(message, seq)}\n`).join(''));
const texts = fc
  .array(
    fc.oneof(
      fc.string({ maxLength: 80 }),
      fc.stringMatching(/^P=\d{1,6}\.\d{0,3} bar$/),
      fc.constantFrom('----', 'OL', '1e999', '-0', '+.5'),
    ),
    {
      maxLength: 20,
    },
  )
  .map((lines) => lines.map((line) => `${line}\r\n`).join(''));

const inputs = fc.record<Input>({
  stream: fc
    .oneof({ weight: 3, arbitrary: frames }, texts, fc.string({ unit: 'binary', maxLength: 2000 }))
    .map((text) => base64Of(Buffer.from(text, 'utf8'))),
  edits: editsArbitrary(['\n', '\r', '*', ' ', '*0000\n', '\0', 'EDGE ', 'HELLO 00000000 ', 'x'.repeat(600), 'FFFFFFFFFFFF']),
  cuts: fc.array(fc.integer({ min: 1, max: 64 }), { minLength: 1, maxLength: 5 }),
  gapNs: fc.oneof(fc.nat(1e6), fc.constantFrom(0, 1, 1e9, 1e12, 1e14)),
  source: fc.constantFrom('gate-board', 'fill-gauge', 'weather', 'gauge', 'no-such', '__proto__'),
});

const RIGS = [HERON, INSTRUMENTS].map((text) => ({ state: opened(text), load: loadRig(text, 'rig.yaml') }));

async function linesOf({ stream, edits, cuts }: Input): Promise<readonly Uint8Array[]> {
  const bytes = edited(bytesOf(stream), edits);
  const lines: Uint8Array[] = [];
  const port = new PassThrough();
  const splitter = new LineSplitter(port, (line) => lines.push(line));
  for (let at = 0, i = 0; at < bytes.length; i += 1) {
    const length = cuts[i % cuts.length] ?? 1;
    port.write(bytes.subarray(at, at + length));
    at += length;
  }
  await splitter.finish(port);
  return lines;
}

export const wire: FuzzTarget = {
  name: 'wire',
  inputs,
  async feed(input: Input) {
    const lines = await linesOf(input);
    for (const line of lines)
      for (const decode of [decodeFrame, decodeBoardLine, decodeHostLine]) decode(Buffer.from(line).toString('latin1'));
    for (const { state, load } of RIGS) {
      if (!load.ok) throw new Error('the rig file of the test does not load');
      for (const board of load.rig.boards) if (board.kind === 'text') for (const line of lines) textReader(board.layout)(line);
      const linked: PosternRecord = { kind: 'link', source: input.source, atNs: 1, value: { change: 'opened', path: '', detail: '' } };
      const heard = lines.map((bytes, i): PosternRecord => ({ kind: 'line', source: input.source, atNs: 1e9 + i * input.gapNs, bytes }));
      fold([linked, ...heard], state);
    }
  },
};
