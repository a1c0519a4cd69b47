/** The journals of a data folder, in the order in which their sessions were opened. */
import { readdirSync, statSync } from 'node:fs';
import { basename, join } from 'node:path';
import { partsOf, readJournal } from '../../journal/index.ts';
import type { DataFolder } from './data-folder.ts';
import { unreadable } from './journal-records.ts';

export interface SessionJournal {
  readonly path: string;
  readonly fileName: string;
  readonly bytes: number;
  /** By its first anchor; undefined where it holds none. */
  readonly openedUtcUs: number | undefined;
}

/** The host writes the first anchor before anything else; after so many records none will come. */
const RECORDS_TO_FIRST_ANCHOR = 100;

/** @throws CommandError where the folder or a journal cannot be read */
export function sessionJournals(folder: DataFolder): readonly SessionJournal[] {
  const names = readdirSync(folder.journals).filter((name) => name.endsWith('.mcap'));
  // After trouble with the disk a session has further parts; it is read by its first.
  const firsts = new Set(names.map((name) => partsOf(join(folder.journals, name))[0] ?? join(folder.journals, name)));
  return [...firsts].map(journalOf).sort(byOpening);
}

function journalOf(path: string): SessionJournal {
  try {
    const bytes = partsOf(path).reduce((sum, part) => sum + statSync(part).size, 0);
    return { path, fileName: basename(path), bytes, openedUtcUs: firstAnchor(path) };
  } catch (error) {
    throw unreadable(path, error);
  }
}

function firstAnchor(path: string): number | undefined {
  let records = 0;
  for (const item of readJournal(path)) {
    if (!('record' in item)) continue;
    if (item.record.kind === 'clock') return item.record.value.utcUs - Math.round(item.record.atNs / 1e3);
    records += 1;
    if (records >= RECORDS_TO_FIRST_ANCHOR) break;
  }
  return undefined;
}

/** One that does not say when comes last. */
function byOpening(a: SessionJournal, b: SessionJournal): number {
  const [one, other] = [a.openedUtcUs ?? Number.POSITIVE_INFINITY, b.openedUtcUs ?? Number.POSITIVE_INFINITY];
  if (one !== other) return one < other ? -1 : 1;
  return a.fileName < b.fileName ? -1 : 1;
}
