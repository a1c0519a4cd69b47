import { z } from 'zod';
import { WIRE } from '../../../protocol/index.ts';
import { group, identifier, isoDate, number, oneOf, quantity, text, whole } from './parts.ts';

const POINTS_MAX = 64;
const COEFFICIENTS_MAX = 8;

/** A count, what an instrument prints, or volts at the converter. */
const raw = z.union([number, z.string()], 'is no raw number; write one, or volts with their unit');

const end = z.union([number, z.string()], 'is neither a raw number nor a value; write one of usual size');

const point = z.tuple([raw, quantity], 'must be a pair [raw count, quantity]');
const pointsRule = 'must be two pairs or more, [[raw count, quantity], [raw count, quantity]]';

const loop = z.strictObject(
  { shunt: quantity, reference: quantity, fullScale: whole(1, 0xffff_ffff).optional(), at4mA: quantity, at20mA: quantity },
  group,
);

const thermistor = z.strictObject(
  {
    r25: quantity.optional(),
    beta: quantity.optional(),
    a: number.optional(),
    b: number.optional(),
    c: number.optional(),
    pullUp: quantity.optional(),
    pullDown: quantity.optional(),
    fullScale: whole(1, 0xffff_ffff).optional(),
  },
  group,
);

/** Which of these go together depends on the board and on each other: resolve/source.ts and resolve/conversion.ts. */
const channel = z.strictObject(
  {
    measures: oneOf(['pressure', 'temperature', 'ratio', 'speed', 'voltage']).optional(),
    board: identifier,
    channel: whole(0, WIRE.channelsMax - 1).optional(),
    reads: text.optional(),
    calibration: z.array(point, pointsRule).min(2, pointsRule).max(POINTS_MAX, `has more than ${POINTS_MAX} points`).optional(),
    polynomial: z
      .array(number, 'is not a list; write [c0, c1, c2]')
      .min(2, 'has fewer than two coefficients; write [c0, c1] at least')
      .max(COEFFICIENTS_MAX, `has more than ${COEFFICIENTS_MAX} coefficients`)
      .optional(),
    loop: loop.optional(),
    thermistor: thermistor.optional(),
    unit: quantity.optional(),
    range: z.tuple([end, end], 'must be a pair [lowest, highest]').optional(),
    reference: quantity.optional(),
    uncertainty: quantity,
    calibratedOn: isoDate.optional(),
    calibrationDue: isoDate.optional(),
    against: z.string().optional(),
  },
  group,
);

export const CHANNELS_MAX = 64;

export const channels = z.record(z.string(), channel, group.error);

export type ChannelShape = z.output<typeof channel>;
