/** A record's own content to bytes and back, exactly: a line as its raw bytes, everything else as JSON in UTF-8. */
import type { PosternRecord, ReadingRecord, RecordKind } from '../../protocol/index.ts';
import { isRecord } from './record-shape.ts';

export function encodeBody(record: PosternRecord): Uint8Array {
  if (record.kind === 'line') return record.bytes;
  return Buffer.from(JSON.stringify(record.kind === 'reading' ? namedNumbers(record.value) : record.value), 'utf8');
}

/**
 * @param bytes  borrowed; the record gets its own copy
 * @returns undefined where the bytes are not a body of this kind
 */
export function decodeBody(kind: RecordKind, atNs: number, source: string, bytes: Buffer): PosternRecord | undefined {
  if (kind === 'line') return Number.isSafeInteger(atNs) ? { kind, atNs, source, bytes: new Uint8Array(bytes) } : undefined;
  let value: unknown;
  try {
    value = JSON.parse(bytes.toString('utf8'));
  } catch {
    return undefined;
  }
  if (typeof value !== 'object' || value === null) return undefined;
  const record = { kind, atNs, source, value: kind === 'reading' ? plainNumbers(value as NamedNumbers) : value } as PosternRecord;
  return isRecord(record) ? record : undefined;
}

type NamedNumbers = Readonly<Record<string, number | string>>;

/** JSON has no names for these four. A reading holds numbers only, so a string in their place is never mistaken. */
const UNNAMED = new Map<string, number>([
  ['NaN', Number.NaN],
  ['Infinity', Number.POSITIVE_INFINITY],
  ['-Infinity', Number.NEGATIVE_INFINITY],
  ['-0', -0],
]);

function namedNumbers(value: ReadingRecord['value']): NamedNumbers {
  return Object.fromEntries(
    Object.entries(value).map(([key, number]) => [key, Object.is(number, -0) ? '-0' : Number.isFinite(number) ? number : String(number)]),
  );
}

function plainNumbers(value: NamedNumbers): ReadingRecord['value'] {
  return Object.fromEntries(
    Object.entries(value).map(([key, number]) => [key, typeof number === 'string' ? (UNNAMED.get(number) ?? Number.NaN) : number]),
  );
}
