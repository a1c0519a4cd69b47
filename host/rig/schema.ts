/** The shape of a rig file: keys and kinds. Quantities are still text here; fields.ts reads them. */
import { z } from 'zod';
import { WIRE } from '../../protocol/index.ts';
import { DEFAULTS } from './defaults.ts';

const NAME_CHARACTERS_MAX = 80;

const text = z
  .string('is not text; put it in quotes')
  .trim()
  .min(1, 'is empty; write some text')
  .max(NAME_CHARACTERS_MAX, `is longer than ${NAME_CHARACTERS_MAX} characters; shorten it`);

/** Stands in records, on the wire and in web addresses, so it is kept narrow. */
const identifier = z
  .string('is not text; put it in quotes')
  .regex(/^[A-Za-z0-9_-]{1,24}$/, 'must be 1 to 24 letters, digits, - or _; write another');

// A bare number is let through so that the unit it lacks can be named.
const quantity = z.union([z.string(), z.number().transform(String)], 'is not a quantity; write a number with its unit');

function whole(from: number, to: number): z.ZodNumber {
  const message = `must be a whole number from ${from} to ${to}`;
  return z.number(message).int(message).min(from, message).max(to, message);
}

const group = 'is not a group of keys; write its keys under it, indented';

const board = z.strictObject(
  { path: text, baudRate: whole(9600, 4_000_000), boardId: identifier.optional(), tickRate: quantity },
  { error: group },
);

const gate = z.strictObject(
  {
    name: identifier,
    pair: identifier,
    board: identifier,
    input: whole(1, WIRE.gateInputsMax),
    position: quantity,
    delay: quantity.default(DEFAULTS.delay),
    jitter: quantity.default(DEFAULTS.jitter),
  },
  { error: group },
);

const calibrationPoint = z.tuple([whole(0, 0xffff), quantity], 'must be a pair [raw count, quantity]');

const channel = z.strictObject(
  {
    board: identifier,
    channel: whole(0, WIRE.channelsMax - 1),
    calibration: z.tuple([calibrationPoint, calibrationPoint], 'must be two pairs, [[raw count, quantity], [raw count, quantity]]'),
    uncertainty: quantity,
  },
  { error: group },
);

export const rigSchema = z.strictObject(
  {
    rig: z.literal(1, 'must be 1, the version of this file format'),
    name: text,
    site: text,
    projectile: z.strictObject({ name: text, diameter: quantity, mass: quantity }, { error: group }),
    reservoir: z.strictObject({ gas: text, volume: quantity, ratedPressure: quantity, maximumFill: quantity }, { error: group }),
    barrel: z.strictObject({ bore: quantity, length: quantity }, { error: group }),
    target: quantity,
    tailwind: quantity.default(DEFAULTS.tailwind),
    boards: z.record(z.string(), board, group),
    trigger: z.strictObject({ board: identifier, input: whole(0, WIRE.gateInputsMax) }, { error: group }).optional(),
    gates: z
      .array(gate, 'is not a list; begin each gate with "- "')
      .min(2, 'has fewer than two gates; a velocity needs a pair')
      .max(64, 'has more than 64 gates'),
    channels: z
      .strictObject(
        {
          reservoirPressure: channel.optional(),
          barrelPressure: channel.optional(),
          airTemperature: channel.optional(),
          airPressure: channel.optional(),
          airHumidity: channel.optional(),
        },
        { error: group },
      )
      .default({}),
    assumedAir: z
      .strictObject(
        {
          temperature: quantity.default(DEFAULTS.airTemperature),
          pressure: quantity.default(DEFAULTS.airPressure),
          humidity: quantity.default(DEFAULTS.airHumidity),
          staleAfter: quantity.default(DEFAULTS.airStaleAfter),
        },
        { error: group },
      )
      .prefault({}),
  },
  { error: group },
);

export type RigShape = z.output<typeof rigSchema>;
export type ChannelShape = z.output<typeof channel>;
