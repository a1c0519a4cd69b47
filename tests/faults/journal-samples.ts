/** Records to fill test journals with, the same for the same number, and a plain random source. */

import type { JournalDamage } from '../../host/journal/index.ts';
import { readJournal } from '../../host/journal/index.ts';
import type { PosternRecord } from '../../protocol/index.ts';

export const HEAD = { sessionId: '20260310T091500Z', originUtcNs: 1_773_134_100_000_000_000n, softwareVersion: '0.1.0' };

/** Sixteen lines of one length, so that two records together have a length one bit away from one's; then one of each other kind. */
export function sampleRecord(n: number): PosternRecord {
  const atNs = n * 625_000;
  switch (n % 21) {
    case 16:
      return { kind: 'reading', source: 'weather', atNs, value: { temperatureC: 9.5 + n / 1000, relativeHumidity: Number.NaN } };
    case 17:
      return { kind: 'link', source: 'gates', atNs, value: { change: 'lost', path: '/dev/ttyACM0', detail: `pulled ${n}` } };
    case 18:
      return { kind: 'operator', source: 'operator', atNs, value: { act: 'note', text: `Folie gerissen – ${n} ☂` } };
    case 19:
      return { kind: 'clock', source: 'host', atNs, value: { utcUs: 1_773_134_100_000_000 + n } };
    case 20:
      return { kind: 'line', source: 'gates', atNs, bytes: Uint8Array.from({ length: 1 + (n % 300) }, (_, i) => (i * 7 + n) & 0xff) };
    default:
      return { kind: 'line', source: 'gates', atNs, bytes: Uint8Array.from(Buffer.from(String(n).padStart(10, '0'))) };
  }
}

export interface Reading {
  readonly records: readonly PosternRecord[];
  readonly damages: readonly JournalDamage[];
}

export function readAll(path: string): Reading {
  const records: PosternRecord[] = [];
  const damages: JournalDamage[] = [];
  for (const item of readJournal(path)) {
    if ('record' in item) records.push(item.record);
    else damages.push(item.damage);
  }
  return { records, damages };
}

/** Uniform in [0, 1); mulberry32, in the public domain. */
export function randomFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}
