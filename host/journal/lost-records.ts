/** Records that could not be kept: which numbers, from when to when, and whose. */
import type { PosternRecord, SessionNs } from '../../protocol/index.ts';

export interface LostRecords {
  readonly records: number;
  /** Numbers from this up to, not including, `seqTo`. */
  readonly seqFrom: number;
  readonly seqTo: number;
  readonly fromNs: SessionNs;
  readonly toNs: SessionNs;
  /** Sources of those records, at most SOURCES_MAX of them. */
  readonly sources: readonly string[];
}

const SOURCES_MAX = 32;

export function withLost(before: LostRecords | undefined, seq: number, { atNs, source }: PosternRecord): LostRecords {
  if (before === undefined) return { records: 1, seqFrom: seq, seqTo: seq + 1, fromNs: atNs, toNs: atNs, sources: [source] };
  const known = before.sources.includes(source) || before.sources.length >= SOURCES_MAX;
  return {
    records: before.records + 1,
    seqFrom: before.seqFrom,
    seqTo: seq + 1,
    fromNs: Math.min(before.fromNs, atNs),
    toNs: Math.max(before.toNs, atNs),
    sources: known ? before.sources : [...before.sources, source],
  };
}

/** As the entries of a metadata record. */
export const lostEntries = (lost: LostRecords): readonly (readonly [string, string])[] => [
  ['seqFrom', String(lost.seqFrom)],
  ['seqTo', String(lost.seqTo)],
  ['fromNs', String(lost.fromNs)],
  ['toNs', String(lost.toNs)],
  ['sources', JSON.stringify(lost.sources)],
];

/** @returns undefined where the entries are not what `lostEntries` makes */
export function lostFromEntries(entries: ReadonlyMap<string, string>): LostRecords | undefined {
  const [seqFrom = NaN, seqTo = NaN, fromNs = NaN, toNs = NaN] = ['seqFrom', 'seqTo', 'fromNs', 'toNs'].map((key) => {
    const text = entries.get(key) ?? '';
    return /^\d{1,16}$/.test(text) ? Number(text) : NaN;
  });
  if (!(seqFrom < seqTo && fromNs <= toNs)) return undefined;
  let sources: unknown;
  try {
    sources = JSON.parse(entries.get('sources') ?? '');
  } catch {
    return undefined;
  }
  if (!Array.isArray(sources) || !sources.every((one) => typeof one === 'string')) return undefined;
  return { records: seqTo - seqFrom, seqFrom, seqTo, fromNs, toNs, sources };
}
