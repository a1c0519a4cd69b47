/** One file of a journal, in bounded memory: every message that is sound, in order, and each stretch that is not. */
import type { PosternRecord } from '../../protocol/index.ts';
import type { ByteWindow } from './byte-window.ts';
import { soundClosingAt } from './closing.ts';
import { FIRST_BYTES } from './container.ts';
import { crc32 } from './crc32.ts';
import { sourcesIn } from './damaged-sources.ts';
import { DATA_END_BYTES } from './layout.ts';
import type { LostRecords } from './lost-records.ts';
import { type Part, partAt, resync } from './parts.ts';

export interface SoundMessage {
  readonly what: 'message';
  /** Number of the record, counted on where the file's 32 bits begin anew. */
  readonly sequence: number;
  readonly originUtcNs: bigint;
  readonly record: PosternRecord;
  /** Where it stands, or what was found sound before it. */
  readonly atByte: number;
}

export interface DamagedBytes {
  readonly what: 'damage';
  readonly fromByte: number;
  readonly toByte: number;
  readonly atEnd: boolean;
  /** Whose records stood in it, as far as it still says. */
  readonly sources: readonly string[];
  /** Behind the last message of a file that was closed: no record can have been in it. */
  readonly isBehindAll: boolean;
}

/** The writer's own word on records that it had to refuse. */
export interface ToldLost {
  readonly what: 'lost';
  readonly lost: LostRecords;
}

export type PartItem = SoundMessage | DamagedBytes | ToldLost;

/** Numbers go round at 2³²; less than half of that forward is forward. */
const STEPS_MAX = 0x8000_0000;

/** Where a message stands, and its number. */
export interface PartPlace {
  readonly byte: number;
  readonly sequence: number;
}

/** @param from  a place in it; left out, its start */
export function* readPart(window: ByteWindow, from?: PartPlace): Generator<PartItem, void, undefined> {
  const closingAt = soundClosingAt(window);
  const known = new Set<string>();
  let at = from?.byte ?? 0;
  let expected = from?.sequence ?? 0;
  /** Of the bytes so far; undefined once some were damaged. */
  let dataCrc: number | undefined;
  let damagedFrom: number | undefined;
  let soundAgainAt: number | undefined;
  const damage = (fromByte: number, toByte: number, isBehindAll = false): DamagedBytes => ({
    what: 'damage',
    fromByte,
    toByte,
    atEnd: toByte === window.size,
    sources: isBehindAll ? [] : sourcesIn(window, { fromByte, toByte }, known),
    isBehindAll,
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
      at = resync(window, at, { expected: expected >>> 0, closingAt });
      continue;
    }
    if (part.what === 'data-end') break;
    soundAgainAt ??= at;
    if (dataCrc !== undefined) dataCrc = crc32(part.bytes, dataCrc);
    at += part.bytes.length;
    if (part.what === 'sealed') {
      if (part.lost) yield { what: 'lost', lost: part.lost };
      continue;
    }
    if (damagedFrom !== undefined) yield damage(damagedFrom, soundAgainAt);
    const sequence = expected + stepsTo(part.sequence, expected);
    const { record, originUtcNs } = part;
    known.add(record.source);
    yield { what: 'message', sequence, originUtcNs, record, atByte: soundAgainAt };
    damagedFrom = undefined;
    soundAgainAt = undefined;
    expected = sequence + 1;
  }

  if (damagedFrom !== undefined) yield damage(damagedFrom, soundAgainAt ?? at);
  if (at >= window.size) return;
  const end = partAt(window, at);
  const restAt = Math.min(at + DATA_END_BYTES, window.size);
  if (end?.what !== 'data-end' || (dataCrc !== undefined && end.dataCrc !== dataCrc)) yield damage(at, restAt, true);
  if (at !== closingAt) yield damage(restAt, window.size, true);
}

const stepsTo = (sequence: number, expected: number): number => (sequence - expected) >>> 0;

function isInPlace(part: Part, expected: number, closingAt: number | undefined): boolean {
  if (part.what === 'message') return stepsTo(part.sequence, expected) < STEPS_MAX;
  // Where the true end is known, this is not it.
  return part.what !== 'data-end' || closingAt === undefined;
}
