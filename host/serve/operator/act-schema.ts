/** An act as it comes from outside: hostile until it has passed here. */
import { z } from 'zod';
import { type OperatorAct, TRACK_LIMITS } from '../../../protocol/index.ts';
import { emptyOrPlainText, plainText } from './act-text.ts';

const WHO_CHARACTERS_MAX = 40;
const NOTE_CHARACTERS_MAX = 1000;
const REASON_CHARACTERS_MAX = 200;
/** No quantity on a range comes near it, and no sum of such leaves a double. */
const SIZE_MAX = 1e12;

const who = plainText(WHO_CHARACTERS_MAX);
/** Of rig file and shots. */
const id = plainText(80);
const session = z.string('must be text').regex(/^[A-Za-z0-9][A-Za-z0-9_-]{0,79}$/, 'names no session');
const amount = z.number('must be a number').min(-SIZE_MAX, 'is too large').max(SIZE_MAX, 'is too large');
const adjustment = z.strictObject({ gain: amount, offsetSi: amount });
const at = z.strictObject({ rightM: amount, upM: amount });
const point = z.strictObject({ readSi: amount, shouldReadSi: amount });
const clip = TRACK_LIMITS.clipCharactersMax;
const px = z
  .number('must be a number')
  .min(-TRACK_LIMITS.pxMax, 'lies outside every picture')
  .max(TRACK_LIMITS.pxMax, 'lies outside every picture');
const frame = z.int('must be a whole number').min(0, 'must not be negative').max(TRACK_LIMITS.frameMax, 'is too large');
/** As many marks as a rig file may have. */
const MARKS_MAX = 16;
export const trackShape = z.strictObject({
  marks: z.array(z.strictObject({ name: id, xPx: px, yPx: px }), 'must be a list').max(MARKS_MAX, `may have at most ${MARKS_MAX} marks`),
  frames: z
    .array(z.strictObject({ frame, xPx: px, yPx: px }), 'must be a list')
    .min(TRACK_LIMITS.framesMin, `must have at least ${TRACK_LIMITS.framesMin} frames`)
    .max(TRACK_LIMITS.framesMax, `may have at most ${TRACK_LIMITS.framesMax} frames`),
});
const change = { channel: id, before: adjustment, after: adjustment, who };

const ACT = z.discriminatedUnion(
  'act',
  [
    z.strictObject({
      act: z.literal('note'),
      text: plainText(NOTE_CHARACTERS_MAX),
      shotId: id.exactOptional(),
      sessionId: session.exactOptional(),
      who: who.exactOptional(),
    }),
    z.strictObject({ act: z.literal('acknowledge'), limitId: id, who }),
    z.strictObject({ act: z.literal('hold-point'), holdPointId: id, done: z.boolean('must be true or false'), who }),
    z.strictObject({ act: z.literal('zero'), shouldReadSi: amount, ...change }),
    z.strictObject({ act: z.literal('calibrate'), points: z.tuple([point, point], 'must be two points'), ...change }),
    z.strictObject({ act: z.literal('aim'), at, who }),
    z.strictObject({ act: z.literal('impact'), shotId: id, at, who }),
    z.strictObject({
      act: z.literal('exclude'),
      shotId: id,
      sessionId: session.exactOptional(),
      excluded: z.boolean('must be true or false'),
      reason: plainText(REASON_CHARACTERS_MAX),
      who,
    }),
    z.strictObject({ act: z.literal('clip'), shotId: id, camera: id, clip: plainText(clip), who }),
    z.strictObject({
      act: z.literal('camera-track'),
      shotId: id,
      camera: id,
      clip: emptyOrPlainText(clip),
      track: trackShape,
      who,
    }),
    z.strictObject({
      act: z.literal('withdraw-track'),
      shotId: id,
      camera: id,
      withdrawn: z.boolean('must be true or false'),
      reason: plainText(REASON_CHARACTERS_MAX),
      who,
    }),
    z.strictObject({
      act: z.literal('weigh'),
      shotId: id,
      mass: z.strictObject({ valueKg: amount, standardUncertaintyKg: amount }).exactOptional(),
      reason: plainText(REASON_CHARACTERS_MAX),
      who,
    }),
  ],
  'names no act that this version knows',
);

export type ReadAct = { readonly ok: true; readonly act: OperatorAct } | { readonly ok: false; readonly why: string };

/** @returns the act, or one sentence on the first thing that is wrong, without its full stop */
export function readAct(body: unknown): ReadAct {
  const parsed = ACT.safeParse(body);
  if (parsed.success) return { ok: true, act: parsed.data };
  const [issue] = parsed.error.issues;
  // What was sent is not repeated: it may be anything.
  if (issue?.code === 'unrecognized_keys') return { ok: false, why: 'the act holds a key that it should not' };
  const path = issue?.path.join('.') ?? '';
  return { ok: false, why: path === '' ? 'an act is one JSON object' : `${path} ${issue?.message ?? 'is not understood'}` };
}
