import { readJournal } from '../../journal/index.ts';

/** The host writes the first anchor before anything else; after so many records none will come. */
const RECORDS_TO_FIRST_ANCHOR = 100;

/** When a journal's session was opened, ms since 1970; undefined where it does not say, or cannot be read. */
export function openedUtcMs(path: string): number | undefined {
  let records = 0;
  try {
    for (const item of readJournal(path)) {
      if (!('record' in item)) continue;
      if (item.record.kind === 'clock') return Math.floor(item.record.value.utcUs / 1e3 - item.record.atNs / 1e6);
      records += 1;
      if (records >= RECORDS_TO_FIRST_ANCHOR) return undefined;
    }
  } catch {
    return undefined;
  }
  return undefined;
}
