/** What a journal holds, for commands that read one: its records in order, and each damaged stretch as a sentence. */
import type { PosternRecord } from '../../protocol/index.ts';
import { type JournalDamage, type JournalPlace, readJournal } from '../journal/index.ts';
import { CommandError, messageOf } from './output.ts';

/**
 * @param onDamage  told of each stretch that cannot be used
 * @throws CommandError where the file cannot be opened or read
 */
export function* recordsOf(
  journal: string,
  onDamage: (sentence: string) => void,
  from?: JournalPlace,
): Generator<PosternRecord, void, undefined> {
  try {
    for (const item of readJournal(journal, from)) {
      if ('record' in item) yield item.record;
      else onDamage(`${journal}: ${damageSentence(item.damage)}`);
    }
  } catch (error) {
    throw isSystemError(error) ? unreadable(journal, error) : error;
  }
}

/** As a sentence that a user reads. */
export const unreadable = (journal: string, error: unknown): CommandError =>
  (error as NodeJS.ErrnoException).code === 'EISDIR'
    ? new CommandError(`${journal} is a folder; name one of the journals (.mcap) in it.`, 2)
    : new CommandError(`The journal ${journal} cannot be read: ${messageOf(error)}`, 1, { cause: error });

const isSystemError = (error: unknown): boolean => error instanceof Error && 'syscall' in error;

export function damageSentence(damage: JournalDamage): string {
  const where = `bytes ${damage.fromByte} to ${damage.toByte}`;
  if (damage.atEnd && damage.seqTo === undefined)
    return `it ends in a torn record (${where}), as after a crash; everything before it is whole.`;
  const lost = damage.seqTo === undefined ? 'an unknown number of' : String(damage.seqTo - damage.seqFrom);
  return `${where} are damaged: ${lost} records are missing from number ${damage.seqFrom} on; the rest is used.`;
}
