/**
 * Reads a session's journal of any size in bounded memory (a buffer a part): every record that is sound, in order, each
 * once, and a notice for each stretch of bytes or numbers that is not. Damage is never an error here; only a file that
 * cannot be opened or read is.
 *
 * After trouble with the disk a session goes on in a further part, which begins with the records that were not known
 * to be safe. A number that stands in two parts is the same record, so whichever is sound is taken.
 */
import fs from 'node:fs';
import type { PosternRecord, SessionNs } from '../../protocol/index.ts';
import { ByteWindow } from './byte-window.ts';
import type { LostRecords } from './lost-records.ts';
import { partsOf } from './part-names.ts';
import { type DamagedBytes, type PartItem, readPart, type SoundMessage } from './part-reader.ts';

/** Bytes `fromByte` up to, not including, `toByte` of one file could not be used; none where only numbers are missing. */
export interface JournalDamage {
  /** Of the file, or of the one in which a number comes that is too high. */
  readonly path: string;
  readonly fromByte: number;
  readonly toByte: number;
  /** Records from this number up to, not including, `seqTo` are missing from all parts: none where they are equal. */
  readonly seqFrom: number;
  /** undefined where nothing sound follows that would tell. */
  readonly seqTo: number | undefined;
  /** The file ends in it: the torn tail of a crash, if the file was never closed. */
  readonly atEnd: boolean;
  /** Session time of the last sound record before, and of the first one after; undefined where there is none. */
  readonly afterNs: SessionNs | undefined;
  readonly beforeNs: SessionNs | undefined;
  /** UTC of session time 0, ns since 1970; undefined where no sound record tells. */
  readonly originUtcNs: bigint | undefined;
  /** Whose records are missing, as far as that is known. */
  readonly sources: readonly string[];
}

export type JournalItem = { readonly record: PosternRecord } | { readonly damage: JournalDamage };

/** A pipe that lies there under a journal's name would else keep whoever opens it waiting for ever. */
const UNWAITING = fs.constants.O_RDONLY | fs.constants.O_NONBLOCK;

/**
 * @param path  of a journal, or of any part of one: closed, torn by a crash, damaged, or still being written
 * @throws Error of the system where a file cannot be opened or read
 */
export function* readJournal(path: string): Generator<JournalItem, void, undefined> {
  const parts: { path: string; fd: number }[] = [];
  try {
    for (const one of partsOf(path)) parts.push({ path: one, fd: fs.openSync(one, UNWAITING) });
    yield* merged(parts.map((part) => new PartCursor(part.path, readPart(new ByteWindow(part.fd)))));
  } finally {
    for (const { fd } of parts) fs.closeSync(fd);
  }
}

/** One part up to its next message; what comes before that waits to be told. */
class PartCursor {
  readonly path: string;
  readonly damages: DamagedBytes[] = [];
  readonly lost: LostRecords[] = [];
  readonly #items: Iterator<PartItem, void>;
  /** undefined at the end of the file. */
  message: SoundMessage | undefined;

  constructor(path: string, items: Iterator<PartItem, void>) {
    this.path = path;
    this.#items = items;
    this.advance();
  }

  advance(): void {
    this.message = undefined;
    for (let next = this.#items.next(); !next.done; next = this.#items.next()) {
      const item = next.value;
      if (item.what === 'message') {
        this.message = item;
        return;
      }
      if (item.what === 'damage') this.damages.push(item);
      else this.lost.push(item.lost);
    }
  }
}

function* merged(parts: readonly PartCursor[]): Generator<JournalItem, void, undefined> {
  let expected = 0;
  let afterNs: SessionNs | undefined;
  let originUtcNs: bigint | undefined;
  /** Read past, and not told yet: what they cost is known with the next message. */
  let waiting: { path: string; damage: DamagedBytes }[] = [];
  let lost: LostRecords[] = [];

  const takeWaiting = (part: PartCursor): void => {
    for (const damage of part.damages.splice(0)) waiting.push({ path: part.path, damage });
    lost.push(...part.lost.splice(0));
  };
  function* tell(to: { readonly seqTo: number | undefined; readonly beforeNs: SessionNs | undefined; readonly at?: [string, number] }) {
    const told = lost.filter(({ seqFrom, seqTo }) => seqFrom >= expected && seqTo <= (to.seqTo ?? Number.POSITIVE_INFINITY));
    const times = {
      afterNs: told.length > 0 ? Math.min(...told.map(({ fromNs }) => fromNs)) : afterNs,
      beforeNs: told.length > 0 ? Math.max(...told.map(({ toNs }) => toNs)) : to.beforeNs,
    };
    const toldSources = told.flatMap(({ sources }) => sources);
    const isMissing = to.seqTo === undefined || to.seqTo > expected;
    for (const [index, { path, damage }] of waiting.entries()) {
      const { fromByte, toByte, atEnd, sources, isBehindAll } = damage;
      // What several stretches cost together is told with the first of them.
      const seqFrom = index === 0 ? expected : (to.seqTo ?? expected);
      const seqTo = isBehindAll ? seqFrom : index === 0 ? to.seqTo : seqFrom;
      const all = index === 0 ? [...new Set([...sources, ...toldSources])] : sources;
      const item: JournalDamage = { path, fromByte, toByte, seqFrom, seqTo, atEnd, ...times, originUtcNs, sources: all };
      yield { damage: item };
    }
    if (waiting.length === 0 && isMissing && to.at) {
      const [path, byte] = to.at;
      const sources = [...new Set(toldSources)];
      const place = { path, fromByte: byte, toByte: byte, seqFrom: expected, seqTo: to.seqTo, atEnd: false };
      yield { damage: { ...place, ...times, originUtcNs, sources } };
    }
    waiting = [];
    lost = [];
  }

  for (;;) {
    const next = parts.reduce<PartCursor | undefined>(
      (least, part) => (part.message && (!least?.message || part.message.sequence < least.message.sequence) ? part : least),
      undefined,
    );
    const message = next?.message;
    if (!next || !message) break;
    // A part that has ended has nothing more to wait for.
    for (const part of parts) if (part === next || !part.message) takeWaiting(part);
    originUtcNs ??= message.originUtcNs;
    const { sequence, record } = message;
    if (sequence >= expected) {
      yield* tell({ seqTo: sequence, beforeNs: record.atNs, at: [next.path, message.atByte] });
      expected = sequence + 1;
      afterNs = record.atNs;
      yield { record };
    }
    next.advance();
  }
  for (const part of parts) takeWaiting(part);
  yield* tell({ seqTo: undefined, beforeNs: undefined });
}
