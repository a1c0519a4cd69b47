import { z } from 'zod';
import { DEFAULTS } from '../defaults.ts';
import { PATTERN_CHARACTERS_MAX, PATTERN_GROUPS_MAX } from '../text-pattern.ts';
import { anyText, group, identifier, quantity, text, whole } from './parts.ts';

const BAUD_MAX = 4_000_000;
const EXAMPLE_CHARACTERS_MAX = 256;

const port = { path: text.optional(), serialNumber: text.optional() };

const stamps = ({ delay, jitter }: { readonly delay: string; readonly jitter: string }) =>
  z.strictObject({ delay: quantity.default(delay), jitter: quantity.default(jitter) }, group).prefault({});

const gateBoard = z.strictObject(
  {
    kind: z.literal('gate-board'),
    ...port,
    baudRate: whole(9600, BAUD_MAX),
    boardId: identifier.optional(),
    tickRate: quantity,
    capture: stamps({ delay: DEFAULTS.captureDelay, jitter: DEFAULTS.captureJitter }),
    software: stamps({ delay: DEFAULTS.softwareDelay, jitter: DEFAULTS.softwareJitter }),
    analogBits: whole(8, 16).optional(),
  },
  group,
);

const firmata = z.strictObject(
  {
    kind: z.literal('firmata'),
    ...port,
    baudRate: whole(9600, BAUD_MAX).optional(),
    bme280: z.literal([0x76, 0x77], 'is no address of a BME280; write 0x76 or 0x77').optional(),
    samplingInterval: quantity.optional(),
    analogBits: whole(8, 14).optional(),
  },
  group,
);

const textBoard = z.strictObject(
  {
    kind: z.literal('text'),
    ...port,
    baudRate: whole(300, BAUD_MAX),
    pattern: z
      .string('is not text; put it in single quotes')
      .min(1, 'is empty; write a pattern')
      .max(PATTERN_CHARACTERS_MAX, `is longer than ${PATTERN_CHARACTERS_MAX} characters; shorten it`)
      .optional(),
    columns: z
      .array(identifier, "is not a list; write [name, name] with '-' for a column to pass over")
      .min(1, 'is empty; name at least one column')
      .max(PATTERN_GROUPS_MAX, `has more than ${PATTERN_GROUPS_MAX} columns`)
      .optional(),
    separator: z
      .string('is not text; put it in quotes')
      .regex(/^[^\r\n]{1,4}$/, 'must be 1 to 4 characters; write another')
      .optional(),
    example: z
      .string('is not text; put it in quotes')
      .min(1, 'is empty; write a line as the instrument prints it')
      .max(EXAMPLE_CHARACTERS_MAX, `is longer than ${EXAMPLE_CHARACTERS_MAX} characters; shorten it`)
      .optional(),
    poll: anyText.regex(/^[ -~]*$/, 'has characters other than plain ASCII ones; leave them out').optional(),
    pollEvery: quantity.optional(),
  },
  group,
);

/** shape.ts fills `kind` in where it is left out. */
export const board = z.discriminatedUnion('kind', [gateBoard, firmata, textBoard], {
  error: (issue) => (issue.code === 'invalid_union' ? 'is not a kind of board known here; write gate-board, firmata or text' : group.error),
});

export type BoardShape = z.output<typeof board>;
export type TextShape = z.output<typeof textBoard>;
