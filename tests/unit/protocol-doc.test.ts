/** docs/protocol.md is what a stranger builds a board from: every line, field, limit and code in it is held to the code. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { crc16, WIRE, wireLayout } from '../../protocol/index.ts';
import { decodeFrom, encodeAgain } from '../support/wire.ts';

/** The page, with the blanks that line up its tables' cells taken out: how a formatter pads them says nothing. */
const DOC = readFileSync(new URL('../../docs/protocol.md', import.meta.url), 'utf8').replace(/^\|.*\|$/gm, (row) =>
  row.replace(/ *\| */g, ' | ').trim(),
);

/** Bodies of the fenced blocks with that word behind the fence. */
const blocks = (word: string): readonly string[] =>
  Array.from(DOC.matchAll(new RegExp(`^\`\`\`${word}\\n(.*?)^\`\`\``, 'gms')), ([, body]) => body as string);

interface Example {
  readonly sender: 'board' | 'host';
  readonly damaged: boolean;
  readonly line: string;
}

/** A line feed alone. */
const EMPTY_LINE = 'board | ⏎';

const examples: readonly Example[] = blocks('session')
  .flatMap((block) => block.trimEnd().split('\n'))
  .filter((row) => !row.startsWith(';') && row !== EMPTY_LINE)
  .map((row) => {
    const [, sender, mark, line] = /^(board|host) +([|~]) (.+)$/.exec(row) ?? [];
    if ((sender !== 'board' && sender !== 'host') || line === undefined) throw new Error(`not a session row: ${row}`);
    return { sender, damaged: mark === '~', line };
  });
const whole = examples.filter(({ damaged }) => !damaged);

/** A heading's text up to the next heading of any level. */
function section(heading: string): string {
  const from = DOC.indexOf(`\n${heading}\n`);
  expect(from, heading).toBeGreaterThanOrEqual(0);
  const body = DOC.slice(from + heading.length + 2);
  const end = body.search(/^#+ /m);
  return end < 0 ? body : body.slice(0, end);
}

/** First two cells of each row of a section's tables, without code marks; head and rule rows left out. */
const rows = (heading: string): readonly (readonly [string, string])[] =>
  Array.from(section(heading).matchAll(/^\| `([^`]+)` \| ([^|]*) \|/gm), ([, first, second]) => [
    first as string,
    (second as string).replaceAll('`', ''),
  ]);

describe('example lines', () => {
  test.each(whole)('$sender: $line', ({ sender, line }) => {
    const decoded = decodeFrom(sender, line);
    expect(decoded).toMatchObject({ ok: true });
    if (decoded.ok) expect(encodeAgain(decoded.value)).toBe(line);
  });

  test('damaged ones are refused', () => {
    const damaged = examples.filter((example) => example.damaged);
    expect(damaged.length).toBeGreaterThan(0);
    for (const { sender, line } of damaged) expect(decodeFrom(sender, line).ok).toBe(false);
  });

  test('none stands outside the blocks that are checked', () => {
    expect(examples.length).toBe(DOC.match(/\*[0-9A-F]{4}$/gm)?.length);
  });

  test('each message has one', () => {
    const kinds = whole.map(({ line }) => line.slice(0, line.indexOf(' ')));
    expect(new Set(kinds)).toEqual(new Set(wireLayout.keys()));
  });

  test('a line that is sent again is the same to the byte, and no number is used twice otherwise', () => {
    const session = blocks('session').at(-1) as string;
    let boot = '';
    const sent = new Map<string, string>();
    for (const [, line] of session.matchAll(/^board \| (.+)$/gm)) {
      const [kind, seq, , , bootId] = (line as string).split(' ') as [string, string, string?, string?, string?];
      if (kind === 'HELLO') boot = bootId as string;
      const key = `${boot} ${seq}`;
      expect(sent.get(key) ?? line).toBe(line);
      sent.set(key, line as string);
    }
  });

  test('in the session each start of the board begins with a line feed, and HELLO is the first frame', () => {
    const rowsOfSession = (blocks('session').at(-1) as string).split('\n');
    const starts = rowsOfSession.flatMap((row, i) => (/^board . \w+ 00000000 /.test(row) ? [i] : []));
    expect(starts.length).toBeGreaterThan(1);
    for (const i of starts) {
      expect(rowsOfSession[i]).toMatch(/^board \| HELLO /);
      expect(rowsOfSession[i - 1]).toBe(EMPTY_LINE);
    }
  });

  test('bytes are those of a line', () => {
    const dumps = blocks('bytes').map((block) =>
      block
        .trimEnd()
        .split('\n')
        .flatMap((row) => row.slice(0, 48).trim().split(' '))
        .map((pair) => String.fromCharCode(Number.parseInt(pair, 16)))
        .join(''),
    );
    expect(dumps.length).toBeGreaterThan(0);
    for (const dump of dumps) expect(whole.map(({ line }) => `${line}\n`)).toContain(dump);
  });
});

describe('tables', () => {
  test.each([...wireLayout])('%s: sender, form line, fields in order', (kind, { sender, fields }) => {
    const names = fields.map(({ name }) => name);
    expect(section(`### ${kind}`)).toContain(`\n\`${[kind, 'seq', ...names].join(' ')}\`\n`);
    expect(rows(`### ${kind}`).map(([name]) => name)).toEqual(names);
    const at = (text: string) => DOC.indexOf(`\n${text}\n`);
    expect(at(`### ${kind}`) > at('## Messages of the host') ? 'host' : 'board').toBe(sender);
  });

  test.each([...wireLayout])('%s: digits of each field', (kind, { fields }) => {
    for (const [i, [, form]] of rows(`### ${kind}`).entries()) {
      const digits = /^(\d+) hex$/.exec(form)?.[1];
      if (digits !== undefined) expect(fields[i]?.expected).toMatch(new RegExp(`^${digits} hexadecimal`));
      else expect(['text', 'letter', '4 hex each, nothing between']).toContain(form);
    }
  });

  test.each([...wireLayout])('%s: letters of each choice', (kind, { fields }) => {
    for (const field of fields) {
      const letters = /^one of (.+)$/.exec(field.expected)?.[1]?.split(' ');
      if (!letters) continue;
      const row = section(`### ${kind}`)
        .split('\n')
        .find((line) => line.startsWith(`| \`${field.name}\``));
      expect(Array.from(row?.matchAll(/`([A-Z])` [a-z]/g) ?? [], ([, letter]) => letter)).toEqual(letters);
    }
  });

  test('limits', () => {
    const stated = rows('### Limits').map(([name, value]) => [name, /^\d+$/.test(value) ? Number(value) : Number.parseInt(value, 16)]);
    expect(Object.fromEntries(stated)).toEqual(WIRE);
  });

  test('codes of faults, as the corpus has them', () => {
    const corpus = ['board-invalid', 'host-invalid'].flatMap(
      (name) => JSON.parse(readFileSync(new URL(`../wire/corpus/${name}.json`, import.meta.url), 'utf8')) as { readonly code: string }[],
    );
    expect(
      rows('### What a receiver checks')
        .map(([code]) => code)
        .sort(),
    ).toEqual([...new Set(corpus.map(({ code }) => code))].sort());
  });

  test('values of the CRC', () => {
    const table = Array.from(section('### The CRC').matchAll(/^\| (none|`[^`]+`) \| `0x([0-9A-F]{4})` \|$/gm));
    expect(table).toHaveLength(4);
    for (const [, bytes, crc] of table) {
      expect(crc16(bytes === 'none' ? '' : (bytes as string).slice(1, -1))).toBe(Number.parseInt(crc as string, 16));
    }
  });
});
