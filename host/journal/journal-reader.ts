/**
 * Reads a journal of any size in bounded memory: every record that is sound, in order, and a notice for each stretch
 * that is not. Damage is never an error here; only a file that cannot be opened or read is.
 */
import fs from 'node:fs';
import type { PosternRecord } from '../../protocol/index.ts';
import { ByteWindow } from './byte-window.ts';
import { soundClosingAt } from './closing.ts';
import { FIRST_BYTES } from './container.ts';
import { crc32 } from './crc32.ts';
import { DATA_END_BYTES } from './layout.ts';
import { type Part, partAt, resync } from './parts.ts';

/** Bytes `fromByte` up to, not including, `toByte` could not be used. */
export interface JournalDamage {
  readonly fromByte: number;
  readonly toByte: number;
  /** Records from this number up to, not including, `seqTo` are missing: none where they are equal. */
  readonly seqFrom: number;
  /** undefined where nothing sound follows that would tell. */
  readonly seqTo: number | undefined;
  /** The file ends in it: the torn tail of a crash, if the file was never closed. */
  readonly atEnd: boolean;
}

/** Where reading may be taken up again: the byte after a sound record, and the number of the record that should stand there. */
export interface JournalPlace {
  readonly byte: number;
  readonly sequence: number;
}

export type JournalItem = { readonly record: PosternRecord; readonly next: JournalPlace } | { readonly damage: JournalDamage };

/**
 * @param path  of a journal: closed, torn by a crash, damaged, or still being written
 * @param from  a place that an earlier reading of the same file gave; without one, from the start
 * @throws Error of the system where the file cannot be opened or read
 */
export function* readJournal(path: string, from?: JournalPlace): Generator<JournalItem, void, undefined> {
  const fd = fs.openSync(path, 'r');
  try {
    yield* itemsOf(new ByteWindow(fd), from);
  } finally {
    fs.closeSync(fd);
  }
}

function* itemsOf(window: ByteWindow, from: JournalPlace | undefined): Generator<JournalItem, void, undefined> {
  const closingAt = soundClosingAt(window);
  let at = from?.byte ?? 0;
  let expected = from?.sequence ?? 0;
  /** Of the bytes so far; undefined once some were damaged. */
  let dataCrc: number | undefined;
  let damagedFrom: number | undefined;
  let soundAgainAt: number | undefined;
  const damage = (fromByte: number, toByte: number, seqTo: number | undefined): JournalItem => ({
    damage: { fromByte, toByte, seqFrom: expected, seqTo, atEnd: toByte === window.size },
  });

  const first = window.at(0, FIRST_BYTES.length);
  // In the middle of the file neither its first bytes are to be judged nor the checksum over all of them.
  if (from !== undefined) dataCrc = undefined;
  else if (first?.equals(FIRST_BYTES)) {
    at = first.length;
    dataCrc = crc32(first);
  } else {
    damagedFrom = 0;
    // Its length is known; where only it was hit, what follows is whole.
    at = partAt(window, FIRST_BYTES.length) ? FIRST_BYTES.length : resync(window, 0, { expected, closingAt });
  }

  while (at < window.size && at !== closingAt) {
    const part = partAt(window, at);
    if (part === undefined || !isInPlace(part, expected, closingAt)) {
      damagedFrom ??= at;
      soundAgainAt = undefined;
      dataCrc = undefined;
      at = resync(window, at, { expected, closingAt });
      continue;
    }
    if (part.what === 'data-end') break;
    soundAgainAt ??= at;
    if (dataCrc !== undefined) dataCrc = crc32(part.bytes, dataCrc);
    at += part.bytes.length;
    if (part.what === 'sealed') continue;
    if (damagedFrom !== undefined || part.sequence !== expected) {
      yield damage(damagedFrom ?? soundAgainAt, soundAgainAt, part.sequence);
    }
    damagedFrom = undefined;
    soundAgainAt = undefined;
    expected = (part.sequence + 1) >>> 0;
    yield { record: part.record, next: { byte: at, sequence: expected } };
  }

  if (damagedFrom !== undefined) yield damage(damagedFrom, soundAgainAt ?? at, undefined);
  if (at >= window.size) return;
  const end = partAt(window, at);
  const restAt = Math.min(at + DATA_END_BYTES, window.size);
  if (end?.what !== 'data-end' || (dataCrc !== undefined && end.dataCrc !== dataCrc)) yield damage(at, restAt, expected);
  if (at !== closingAt) yield damage(restAt, window.size, expected);
}

/** Numbers go round at 2³²; less than half of that forward is forward. */
const STEPS_MAX = 0x8000_0000;

function isInPlace(part: Part, expected: number, closingAt: number | undefined): boolean {
  if (part.what === 'message') return (part.sequence - expected) >>> 0 < STEPS_MAX;
  // Where the true end is known, this is not it.
  return part.what !== 'data-end' || closingAt === undefined;
}
