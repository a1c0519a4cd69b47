/**
 * The wire corpus: lines as bytes, beside them what a receiver must make of each. Its CRCs were made by another program
 * (Python's binascii.crc_hqx with start value 0xFFFF), so that this code is not held against itself.
 * docs/protocol.md describes the files; any other implementation can run them.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { wireLayout } from '../../protocol/index.ts';
import { decodeFrom, encodeAgain } from '../support/wire.ts';

type Expected =
  | { readonly note: string; readonly ok: true; readonly message: Readonly<Record<string, unknown>> & { readonly kind: string } }
  | { readonly note: string; readonly ok: false; readonly code: string };

const FOLDER = new URL('../wire/corpus/', import.meta.url);

function readCorpus(name: string): readonly { readonly line: string; readonly expected: Expected }[] {
  const text = readFileSync(new URL(`${name}.txt`, FOLDER), 'latin1');
  const expected = JSON.parse(readFileSync(new URL(`${name}.json`, FOLDER), 'utf8')) as readonly Expected[];
  const lines = text.split('\n');
  expect(lines.pop()).toBe('');
  expect(lines).toHaveLength(expected.length);
  return expected.map((one, i) => ({ line: lines[i] as string, expected: one }));
}

const CORPORA = [
  ['board', 'board-valid', true],
  ['board', 'board-invalid', false],
  ['host', 'host-valid', true],
  ['host', 'host-invalid', false],
] as const;

describe.each(CORPORA)('from the %s: %s', (sender, name, ok) => {
  test.each(readCorpus(name).map(({ line, expected }, i) => [i + 1, expected.note, line, expected] as const))(
    'line %i: %s',
    (_, __, line, expected) => {
      const decoded = decodeFrom(sender, line);
      expect(expected.ok).toBe(ok);
      if (expected.ok) expect(decoded).toEqual({ ok: true, value: expected.message });
      else expect(decoded).toMatchObject({ ok: false, fault: { code: expected.code } });
      if (decoded.ok) expect(encodeAgain(decoded.value)).toBe(line.replace(/\r$/, ''));
    },
  );
});

test('the corpus leaves out no file, no kind of message and no code of fault', () => {
  const names = CORPORA.flatMap(([, name]) => [`${name}.json`, `${name}.txt`]);
  expect(
    readdirSync(FOLDER)
      .filter((name) => !name.startsWith('.'))
      .sort(),
  ).toEqual(names.sort());
  const all = CORPORA.flatMap(([, name]) => readCorpus(name)).map(({ expected }) => expected);
  expect(new Set(all.flatMap((one) => (one.ok ? [one.message.kind] : [])))).toEqual(new Set(wireLayout.keys()));
  expect([...new Set(all.flatMap((one) => (one.ok ? [] : [one.code])))].sort()).toEqual([
    'bad-field',
    'crc-mismatch',
    'line-too-long',
    'malformed',
    'no-crc',
    'not-ascii',
    'unknown-kind',
  ]);
});
