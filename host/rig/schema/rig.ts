/** The shape of a rig file: keys and kinds. Quantities are still text here; fields.ts reads them. */
import { z } from 'zod';
import { WIRE } from '../../../protocol/index.ts';
import { DEFAULTS } from '../defaults.ts';
import { acceptance, agreement, cameraAgreement } from './acceptance.ts';
import { board } from './boards.ts';
import { cameras } from './cameras.ts';
import { channels } from './channels.ts';
import { group, identifier, quantity, text, whole } from './parts.ts';
import { timeSeries } from './time-series.ts';
import { fill, holdPoints, limits, vacuum } from './watches.ts';

const gate = z.strictObject(
  {
    name: identifier,
    pair: identifier,
    board: identifier,
    input: whole(1, WIRE.gateInputsMax),
    position: quantity,
    delay: quantity.default(DEFAULTS.delay),
    jitter: quantity.default(DEFAULTS.jitter),
    squareness: quantity.default(DEFAULTS.squareness),
  },
  group,
);

const reservoir = z.strictObject(
  { gas: text, volume: quantity, ratedPressure: quantity, maximumFill: quantity, reliefSetting: quantity.optional() },
  group,
);

const assumedAir = z.strictObject(
  {
    temperature: quantity.default(DEFAULTS.airTemperature),
    pressure: quantity.default(DEFAULTS.airPressure),
    humidity: quantity.default(DEFAULTS.airHumidity),
    staleAfter: quantity.default(DEFAULTS.airStaleAfter),
  },
  group,
);

export const rigSchema = z.strictObject(
  {
    rig: z.literal(1, 'must be 1, the version of this file format'),
    name: text,
    site: text,
    projectile: z.strictObject({ name: text, diameter: quantity, mass: quantity }, group),
    reservoir,
    barrel: z.strictObject({ bore: quantity, length: quantity }, group),
    target: quantity,
    tape: quantity.default(DEFAULTS.tape),
    sideways: quantity.default(DEFAULTS.sideways),
    tailwind: quantity.default(DEFAULTS.tailwind),
    boards: z.record(z.string(), board, group.error),
    trigger: z.strictObject({ board: identifier, input: whole(0, WIRE.gateInputsMax) }, group).optional(),
    gates: z
      .array(gate, 'is not a list; begin each gate with "- "')
      .min(2, 'has fewer than two gates; a velocity needs a pair')
      .max(64, 'has more than 64 gates'),
    channels: channels.default({}),
    fill,
    vacuum,
    limits,
    holdPoints,
    cameras,
    acceptance,
    agreement,
    cameraAgreement,
    assumedAir: assumedAir.prefault({}),
    timeSeries,
  },
  group,
);

export type RigShape = z.output<typeof rigSchema>;
