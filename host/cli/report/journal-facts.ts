/** What of a report only the journal tells: the rig file itself, and every act with the number of its record. */
import { basename } from 'node:path';
import type { OperatorAct, SessionNs, Shot } from '../../../protocol/index.ts';
import { readJournal } from '../../journal/index.ts';
import { loadRig, type Rig } from '../../rig/index.ts';
import { Utc } from '../history/utc.ts';

export interface RecordedAct {
  readonly record: number;
  readonly atNs: SessionNs;
  /** ISO 8601; empty where no record tells. */
  readonly at: string;
  readonly act: OperatorAct;
}

export interface JournalFacts {
  readonly journal: string;
  readonly openedAt: string;
  readonly softwareVersion: string;
  /** As it was before the last shot. */
  readonly rigFile:
    | { readonly record: number; readonly fileName: string; readonly text: string; readonly rig: Rig | undefined }
    | undefined;
  /** How many rig files the session had. */
  readonly rigFiles: number;
  readonly acts: readonly RecordedAct[];
  readonly damages: number;
}

/** Of a hostile journal; more acts are no session's. */
const ACTS_MAX = 20_000;

/** @returns undefined where the journal cannot be read */
export function journalFacts(path: string, shots: readonly Shot[]): JournalFacts | undefined {
  const utc = new Utc();
  const acts: RecordedAct[] = [];
  const lastFiredNs = shots.at(-1)?.firedAtNs ?? Number.POSITIVE_INFINITY;
  let [rigFiles, damages, openedAt, softwareVersion] = [0, 0, '', ''];
  let rigFile: { readonly record: number; readonly fileName: string; readonly text: string } | undefined;
  try {
    for (const item of readJournal(path)) {
      if ('damage' in item) {
        damages += 1;
        continue;
      }
      const { record } = item;
      utc.take(record);
      if (record.kind === 'rig') {
        rigFiles += 1;
        if (rigFile && record.atNs > lastFiredNs) continue;
        rigFile = { record: item.place().sequence, fileName: record.value.fileName, text: record.value.text };
        openedAt = openedAt || utc.at(record.atNs);
        softwareVersion = record.value.softwareVersion;
      } else if (record.kind === 'operator' && acts.length < ACTS_MAX) {
        acts.push({ record: item.place().sequence, atNs: record.atNs, at: utc.at(record.atNs), act: record.value });
      }
    }
  } catch (error) {
    if (error instanceof Error && 'syscall' in error) return undefined;
    throw error;
  }
  const loaded = rigFile && loadRig(rigFile.text, rigFile.fileName);
  return {
    journal: basename(path),
    openedAt,
    softwareVersion,
    rigFile: rigFile && { ...rigFile, rig: loaded?.ok ? loaded.rig : undefined },
    rigFiles,
    acts,
    damages,
  };
}
