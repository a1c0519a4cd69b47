/** What is asked of each shot. */
import { z } from 'zod';
import { DEFAULTS } from '../defaults.ts';
import { group, identifier, number, oneOf, quantity, text } from './parts.ts';

const CRITERIA_MAX = 16;
const GUARD_FACTOR_MAX = 5;

const rule = oneOf(['plain', 'guarded']);
const guard = number.min(0, 'must not be negative').max(GUARD_FACTOR_MAX, `must be at most ${GUARD_FACTOR_MAX}`).optional();

const criterion = z.strictObject(
  {
    name: text,
    of: oneOf(['muzzle-velocity', 'target-velocity', 'mach', 'muzzle-energy', 'target-energy']),
    from: quantity.optional(),
    to: quantity.optional(),
    rule: rule.default(DEFAULTS.decisionRule),
    guard,
  },
  group,
);

export const acceptance = z
  .array(criterion, 'is not a list; begin each thing that is asked with "- "')
  .max(CRITERIA_MAX, `has more than ${CRITERIA_MAX} entries`)
  .default([]);

const pairs = z.tuple([identifier, identifier], 'must be two pairs of gates, [A, B]');

export const agreement = z.strictObject({ pairs, within: quantity, rule: rule.default(DEFAULTS.agreementRule), guard }, group).optional();

const CAMERA_AGREEMENTS_MAX = 8;

export const cameraAgreement = z
  .array(
    z.strictObject({ camera: identifier, within: quantity, rule: rule.default(DEFAULTS.cameraAgreementRule), guard }, group),
    'is not a list; begin each camera that shall agree with "- "',
  )
  .max(CAMERA_AGREEMENTS_MAX, `has more than ${CAMERA_AGREEMENTS_MAX} entries`)
  .default([]);

export type CameraAgreementShape = z.output<typeof cameraAgreement>[number];
export type CriterionShape = z.output<typeof criterion>;
export type AgreementShape = NonNullable<z.output<typeof agreement>>;
