/** A command to a replay as it comes from outside: hostile until it has passed here. */
import { z } from 'zod';
import { REPLAY_SPEED, type ReplayCommand, type ReplaySpeed } from '../../../protocol/index.ts';

const SHOT_ID_CHARACTERS_MAX = 80;
const SPEED_WORDS = `must be ${REPLAY_SPEED.min} to ${REPLAY_SPEED.max} times real time, or max`;

const isSpeed = (value: unknown): boolean =>
  value === 'max' || (typeof value === 'number' && value >= REPLAY_SPEED.min && value <= REPLAY_SPEED.max);

const COMMAND = z.discriminatedUnion(
  'do',
  [
    z.strictObject({ do: z.literal('play') }),
    z.strictObject({ do: z.literal('pause') }),
    z.strictObject({ do: z.literal('speed'), speed: z.custom<ReplaySpeed>(isSpeed, SPEED_WORDS) }),
    z.strictObject({ do: z.literal('seek'), toNs: z.number('must be nanoseconds of the session').min(0).max(Number.MAX_SAFE_INTEGER) }),
    z.strictObject({ do: z.literal('step'), to: z.enum(['next', 'previous'], 'must be next or previous') }),
    z.strictObject({ do: z.literal('shot'), shotId: z.string('must be the id of a shot').min(1).max(SHOT_ID_CHARACTERS_MAX) }),
  ],
  'names nothing that a replay can do: play, pause, speed, seek, step or shot',
);

export type ReadCommand = { readonly ok: true; readonly command: ReplayCommand } | { readonly ok: false; readonly why: string };

/** @returns the command, or one sentence on the first thing that is wrong, without its full stop */
export function readCommand(body: unknown): ReadCommand {
  const parsed = COMMAND.safeParse(body);
  if (parsed.success) return { ok: true, command: parsed.data };
  const [issue] = parsed.error.issues;
  if (issue?.code === 'unrecognized_keys') return { ok: false, why: 'the command holds a key that it should not' };
  const path = issue?.path.join('.') ?? '';
  return { ok: false, why: path === '' ? 'a command is one JSON object' : `${path} ${issue?.message ?? 'is not understood'}` };
}
