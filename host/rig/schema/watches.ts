/** What is watched: limits, targets, hold points. */
import { z } from 'zod';
import { DEFAULTS } from '../defaults.ts';
import { group, identifier, oneOf, quantity, text } from './parts.ts';

const LIMITS_MAX = 64;
const HOLD_POINTS_MAX = 40;

const limit = z.strictObject(
  {
    id: identifier.optional(),
    channel: identifier,
    above: quantity.optional(),
    below: quantity.optional(),
    risingFasterThan: quantity.optional(),
    fallingFasterThan: quantity.optional(),
    for: quantity.default(DEFAULTS.limitFor),
    clear: quantity.optional(),
    message: text.optional(),
    severity: oneOf(['alarm', 'warning']).default(DEFAULTS.limitSeverity),
  },
  group,
);

const holdPoint = z.strictObject(
  {
    id: identifier.optional(),
    name: text,
    by: oneOf(['crew']).optional(),
    when: oneOf(['fill-settled', 'vacuum-at-target', 'links-running', 'gates-clear', 'weather-fresh']).optional(),
  },
  group,
);

export const limits = z
  .array(limit, 'is not a list; begin each limit with "- "')
  .max(LIMITS_MAX, `has more than ${LIMITS_MAX} limits`)
  .default([]);

export const holdPoints = z
  .array(holdPoint, 'is not a list; begin each hold point with "- "')
  .max(HOLD_POINTS_MAX, `has more than ${HOLD_POINTS_MAX} hold points`)
  .default([]);

export const fill = z.strictObject({ target: quantity, band: quantity, rateMaximum: quantity.optional() }, group).optional();

export const vacuum = z.strictObject({ target: quantity, band: quantity }, group).optional();

export type LimitShape = z.output<typeof limit>;
export type HoldPointShape = z.output<typeof holdPoint>;
