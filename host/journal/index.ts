export type { JournalHead } from './container.ts';
export type { JournalFile } from './journal-file.ts';
export type { JournalDamage, JournalItem, JournalPlace } from './journal-reader.ts';
export { readJournal } from './journal-reader.ts';
export { newestTimeNs } from './journal-span.ts';
export type { JournalProblem, JournalWriterPorts } from './journal-writer.ts';
export { JournalWriter, SYNC_EVERY_MS } from './journal-writer.ts';
