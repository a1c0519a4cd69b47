export type { JournalHead } from './container.ts';
export type { CreatePart, JournalFile } from './journal-file.ts';
export { KEPT_BYTES_MAX as JOURNAL_WAITING_BYTES_MAX } from './journal-output.ts';
export type { JournalDamage, JournalItem } from './journal-reader.ts';
export { readJournal } from './journal-reader.ts';
export type { JournalProblem, JournalWriterPorts } from './journal-writer.ts';
export { JournalWriter, SYNC_EVERY_MS } from './journal-writer.ts';
export type { LostRecords } from './lost-records.ts';
