/**
 * Is what a journal holds a record at all? A checksum says only that the bytes are as they were written, and a journal
 * may come from anybody: what has another shape is damage, told by its place, and the pipeline never sees it.
 */
import { z } from 'zod';
import { LINK_CHANGES, type OperatorAct, type PosternRecord, type RecordKind } from '../../protocol/index.ts';

const text = z.string();
const number = z.number();
const adjustment = z.object({ gain: number, offsetSi: number });
const at = z.object({ rightM: number, upM: number });
const point = z.object({ readSi: number, shouldReadSi: number });
const place = { xPx: number, yPx: number };
const track = z.object({
  marks: z.array(z.object({ name: text, ...place })),
  frames: z.array(z.object({ frame: number, ...place })),
});
const change = { channel: text, before: adjustment, after: adjustment, who: text };

/** The compiler asks for one of each. What bounds an act has is the business of whoever takes it from outside. */
const ACTS: Readonly<Record<OperatorAct['act'], z.ZodType>> = {
  note: z.object({ text, shotId: text.optional(), who: text.optional() }),
  acknowledge: z.object({ limitId: text, who: text }),
  'hold-point': z.object({ holdPointId: text, done: z.boolean(), who: text }),
  zero: z.object({ shouldReadSi: number, ...change }),
  calibrate: z.object({ points: z.tuple([point, point]), ...change }),
  aim: z.object({ at, who: text }),
  impact: z.object({ shotId: text, at, who: text }),
  exclude: z.object({ shotId: text, excluded: z.boolean(), reason: text, who: text }),
  clip: z.object({ shotId: text, camera: text, clip: text, who: text }),
  'camera-track': z.object({ shotId: text, camera: text, clip: text, track, who: text }),
  'withdraw-track': z.object({ shotId: text, camera: text, withdrawn: z.boolean(), reason: text, who: text }),
  weigh: z.object({ shotId: text, mass: z.object({ valueKg: number, standardUncertaintyKg: number }).optional(), reason: text, who: text }),
};

const VALUES: Readonly<Record<Exclude<RecordKind, 'line'>, z.ZodType>> = {
  // Not-a-number is what a driver hands over where there is nothing.
  reading: z.record(text, z.union([number, z.nan(), z.literal([Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY])])),
  link: z.object({ change: z.enum(LINK_CHANGES), path: text, detail: text }),
  operator: z.custom((value) => isAct(value)),
  rig: z.object({ sessionId: text, softwareVersion: text, protocolVersion: number, fileName: text, text }),
  clock: z.object({ utcUs: z.int() }),
};

function isAct(value: unknown): boolean {
  const { act } = value as { readonly act?: unknown };
  return typeof act === 'string' && Object.hasOwn(ACTS, act) && ACTS[act as OperatorAct['act']].safeParse(value).success;
}

/** @param record  of a kind that is known, its bytes already made into a value */
export function isRecord(record: PosternRecord): boolean {
  if (!Number.isSafeInteger(record.atNs) || record.atNs < 0) return false;
  return record.kind === 'line' || VALUES[record.kind].safeParse(record.value).success;
}
