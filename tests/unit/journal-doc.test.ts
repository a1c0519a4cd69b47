/** What docs/journal.md shows is what is written. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { channelRecord, FIRST_BYTES, sessionRecord } from '../../host/journal/container.ts';
import { KEPT_BYTES_MAX } from '../../host/journal/journal-output.ts';
import { SYNC_EVERY_MS } from '../../host/journal/journal-writer.ts';
import { BODY_BYTES_MAX, KIND_CODES, MESSAGE } from '../../host/journal/layout.ts';
import { encodeMessageRecord } from '../../host/journal/message.ts';
import { encodeMessage } from '../../protocol/index.ts';
import { HEAD } from '../faults/journal-samples.ts';

const page = readFileSync(new URL('../../docs/journal.md', import.meta.url), 'utf8');
const shown = (name: string): string => /```hex NAME\n([^`]*)```/.source.replace('NAME', name);
const bytesShown = (name: string): Buffer => Buffer.from((new RegExp(shown(name)).exec(page)?.[1] ?? '').replace(/\s/g, ''), 'hex');

describe('docs/journal.md', () => {
  test.each([
    ['first', FIRST_BYTES],
    ['session', sessionRecord(HEAD)],
    ['channel', channelRecord(1, 'gates/line')],
    [
      'message',
      encodeMessageRecord(
        {
          kind: 'line',
          source: 'gates',
          atNs: 625_000,
          bytes: Buffer.from(encodeMessage({ kind: 'GONE', fromSeq: 1, toSeq: 2 }, 7), 'latin1'),
        },
        { channelId: 1, sequence: 0, originUtcNs: HEAD.originUtcNs },
      ),
    ],
  ])('shows the bytes of %s', (name, bytes) => {
    expect(bytesShown(name).toString('hex')).toBe(bytes.toString('hex'));
  });

  test('gives the places and kinds of a message', () => {
    const rows = [...page.matchAll(/^\| (\d+) \| ([a-zA-Z0-9 ]+) \|/gm)].map(([, at, field]) => [field, Number(at)]);
    expect(rows.slice(2)).toEqual([
      ['channel', MESSAGE.channelId],
      ['sequence', MESSAGE.sequence],
      ['logTime', MESSAGE.logTime],
      ['publishTime', MESSAGE.publishTime],
      ['crc32', MESSAGE.crc],
      ['sequence', MESSAGE.payloadSequence],
      ['session time', MESSAGE.atNs],
      ['kind', MESSAGE.kind],
      ['source length', MESSAGE.sourceBytes],
      ['source', MESSAGE.source],
    ]);
    const kinds = Object.entries(KIND_CODES).map(([kind, code]) => `${code} ${kind}`);
    expect(page).toContain(`| ${kinds.join(', ')} |`);
  });

  test('gives the bounds', () => {
    const mebibytes = (bytes: number) => `${bytes / 1024 ** 2} MiB`;
    expect(page).toContain(`the rest, at most ${mebibytes(BODY_BYTES_MAX)}`);
    expect(page).toContain(`When more than ${mebibytes(KEPT_BYTES_MAX)} wait`);
    expect(page).toContain(`\`fdatasync\` every ${SYNC_EVERY_MS} ms`);
  });
});
