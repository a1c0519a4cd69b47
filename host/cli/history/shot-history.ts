/**
 * Where a shot's numbers come from and what was done to it since: each as the journal has it, with the number of its
 * record, so that anybody can look it up. Read from the journal itself, which nothing ever changes.
 */
import { basename } from 'node:path';
import {
  decodeBoardLine,
  type OperatorAct,
  type PosternRecord,
  type RigSummary,
  type SessionNs,
  type Shot,
} from '../../../protocol/index.ts';
import { readJournal } from '../../journal/index.ts';
import { unreadable } from '../data/journal-records.ts';
import { CommandError } from '../output.ts';
import { Utc } from './utc.ts';

export interface HistoryEdit {
  /** Number of the record in the journal. */
  readonly record: number;
  readonly atNs: SessionNs;
  /** ISO 8601; empty where no record tells. */
  readonly at: string;
  readonly act: OperatorAct;
}

export interface HistoryEdge {
  readonly record: number;
  readonly gate: string;
  readonly active: boolean;
  readonly ticks: number;
}

export interface ShotHistory {
  readonly shot: string;
  readonly journal: string;
  /** Number of the record that holds the rig file under which it was fired. */
  readonly rigFileRecord: number | undefined;
  readonly softwareVersion: string;
  /** What was latched at the firing is among the records up to this one. */
  readonly lastRecordBeforeFiring: number | undefined;
  readonly edges: readonly HistoryEdge[];
  /** On this shot, and before it on the gauges that its pressures were read with. In the order of the journal. */
  readonly edits: readonly HistoryEdit[];
  /** Records that are missing from the journal: what they held is not here. */
  readonly damages: number;
}

/** A clock's anchor comes twice a second, so that there is always one. */
const LATCHED_WITHIN_NS = 2e9;

/**
 * @param journal  path of the session's journal
 * @param gates  of the rig that fired it; without them an edge is found by its ticks alone
 * @throws CommandError where it cannot be read
 */
export function shotHistory(journal: string, shot: Shot, gates: RigSummary['gates'] | undefined): ShotHistory {
  const wanted = shot.edges.map((edge) => ({ edge, gate: gates?.find(({ name }) => name === edge.gate) }));
  const edges = new Map<number, HistoryEdge>();
  const edits: HistoryEdit[] = [];
  const utc = new Utc();
  let rigFileRecord: number | undefined;
  let softwareVersion = '';
  let lastRecordBeforeFiring: number | undefined;
  let damages = 0;
  const take = (record: PosternRecord, number: () => number): void => {
    utc.take(record);
    if (record.atNs <= shot.firedAtNs && record.atNs > shot.firedAtNs - LATCHED_WITHIN_NS) lastRecordBeforeFiring = number();
    if (record.kind === 'rig' && record.atNs <= shot.firedAtNs) [rigFileRecord, softwareVersion] = [number(), record.value.softwareVersion];
    else if (record.kind === 'operator' && concerns(record.value, shot, record.atNs)) {
      edits.push({ record: number(), atNs: record.atNs, at: utc.at(record.atNs), act: record.value });
    } else if (record.kind === 'line' && edges.size < wanted.length) {
      const message = edgeOf(record.bytes);
      if (!message) return;
      const index = wanted.findIndex(
        ({ edge, gate }, i) =>
          !edges.has(i) &&
          edge.ticks === message.ticks &&
          edge.active === message.active &&
          (gate === undefined || (gate.board === record.source && gate.input === message.input)),
      );
      if (index >= 0)
        edges.set(index, { record: number(), gate: shot.edges[index]?.gate ?? '', active: message.active, ticks: message.ticks });
    }
  };
  try {
    for (const item of readJournal(journal)) {
      if ('damage' in item) damages += 1;
      else take(item.record, () => item.place().sequence);
    }
  } catch (error) {
    if (error instanceof Error && 'syscall' in error) throw missing(journal, error);
    throw error;
  }
  const found = [...edges.values()].toSorted((a, b) => a.record - b.record);
  return {
    shot: shot.id,
    journal: basename(journal),
    rigFileRecord,
    softwareVersion,
    lastRecordBeforeFiring,
    edges: found,
    edits,
    damages,
  };
}

function edgeOf(bytes: Uint8Array) {
  const decoded = decodeBoardLine(Buffer.from(bytes).toString('latin1'));
  return decoded.ok && decoded.value.kind === 'EDGE' ? decoded.value : undefined;
}

function concerns(act: OperatorAct, { id, firedAtNs }: Shot, atNs: SessionNs): boolean {
  if (act.act === 'zero' || act.act === 'calibrate' || act.act === 'aim') return atNs <= firedAtNs;
  return 'shotId' in act && act.shotId === id;
}

const missing = (journal: string, error: Error): CommandError =>
  (error as NodeJS.ErrnoException).code === 'ENOENT'
    ? new CommandError(`The journal ${basename(journal)} is not in its folder any more: a history is read from it; put it back.`, 1, {
        cause: error,
      })
    : unreadable(journal, error);
