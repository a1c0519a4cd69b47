/** A journal's records, for every command that opens one: what is missing is told as one sentence each, and the rest is used. */
import { basename } from 'node:path';
import type { PosternRecord, SessionNs } from '../../../protocol/index.ts';
import { type JournalDamage, readJournal } from '../../journal/index.ts';
import { CommandError, messageOf, warn } from '../output.ts';

/**
 * @param journal  path of a journal or of any part of one
 * @param tell  what is told of each damage; left out: a sentence on standard error
 * @throws CommandError where a file cannot be opened or read
 */
export function* journalRecords(
  journal: string,
  tell: (damage: JournalDamage) => void = (damage) => warn(damageSentence(damage)),
): Generator<PosternRecord> {
  const items = readJournal(journal);
  try {
    for (let next = nextOf(items, journal); !next.done; next = nextOf(items, journal)) {
      if ('record' in next.value) yield next.value.record;
      else tell(next.value.damage);
    }
  } finally {
    items.return();
  }
}

function nextOf(items: ReturnType<typeof readJournal>, journal: string): ReturnType<typeof items.next> {
  try {
    return items.next();
  } catch (error) {
    throw error instanceof Error && 'syscall' in error ? unreadable(journal, error) : error;
  }
}

/** A file that cannot be opened or read, as a sentence that a user reads. */
export const unreadable = (journal: string, error: unknown): CommandError =>
  (error as NodeJS.ErrnoException).code === 'EISDIR'
    ? new CommandError(`${journal} is a folder; name one of the journals (.mcap) in it.`, 2)
    : new CommandError(`The journal ${journal} cannot be read: ${messageOf(error)}`, 1, { cause: error });

/** What is missing, whose, and from when to when. */
export function damageSentence(damage: JournalDamage): string {
  const { path, fromByte, toByte, seqFrom, seqTo, atEnd, afterNs } = damage;
  const file = basename(path);
  const bytes = `bytes ${fromByte} to ${toByte}`;
  if (atEnd && seqTo === undefined) {
    const until = afterNs === undefined ? 'no record before it is whole' : `the last whole record is ${momentOf(damage, afterNs)}`;
    return `${file} ends in a torn record${of(damage)} (${bytes}), as after a crash: ${until}; what came later is missing.`;
  }
  if (seqTo !== undefined && seqTo <= seqFrom) {
    return atEnd
      ? `${file} ends in ${bytes} that cannot be read; no record is missing.`
      : `${file}: ${bytes} are damaged; no record is missing.`;
  }
  const missing = `${missingRecords(seqFrom, seqTo)}${commaOf(damage)} ${between(damage)}; the rest is used.`;
  return fromByte === toByte ? `${file}: ${missing}` : `${file}: ${bytes} are damaged: ${missing}`;
}

function missingRecords(seqFrom: number, seqTo: number | undefined): string {
  if (seqTo === undefined) return `an unknown number of records is missing from number ${seqFrom} on,`;
  if (seqTo === seqFrom + 1) return `1 record is missing (number ${seqFrom}),`;
  return `${seqTo - seqFrom} records are missing (numbers ${seqFrom} to ${seqTo - 1}),`;
}

const of = ({ sources }: JournalDamage): string => (sources.length === 0 ? '' : ` of ${sources.join(', ')}`);

const commaOf = (damage: JournalDamage): string => (damage.sources.length === 0 ? '' : `${of(damage)},`);

function between(damage: JournalDamage): string {
  const { afterNs, beforeNs } = damage;
  if (afterNs === undefined && beforeNs === undefined) return 'from the whole of the session';
  if (afterNs === undefined) return `from the beginning to ${momentOf(damage, beforeNs as SessionNs)}`;
  if (beforeNs === undefined) return `from ${momentOf(damage, afterNs)} to the end`;
  return `from ${momentOf(damage, afterNs)} to ${momentOf(damage, beforeNs)}`;
}

/** Session time, and UTC where it is known. */
function momentOf({ originUtcNs }: JournalDamage, atNs: SessionNs): string {
  const seconds = `${(atNs / 1e9).toFixed(6)} s`;
  if (originUtcNs === undefined) return seconds;
  const utcMs = Number((originUtcNs + BigInt(Math.trunc(atNs))) / 1_000_000n);
  // A damaged clock cannot be: its record's checksum holds. A session clock beyond what a Date holds can.
  return Math.abs(utcMs) > 8.64e15 ? seconds : `${seconds} (${new Date(utcMs).toISOString()})`;
}
