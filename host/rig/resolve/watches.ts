/** Targets and hold points, in SI. */
import type { FillSummary, HoldCondition, HoldPointSummary, VacuumSummary } from '../../../protocol/index.ts';
import type { FieldReader, Report } from '../fields.ts';
import type { RigShape } from '../schema/rig.ts';
import type { HoldPointShape } from '../schema/watches.ts';

export function resolveFill(shape: NonNullable<RigShape['fill']>, fields: FieldReader): FillSummary {
  const targetPaGauge = fields.pressureOf(['fill', 'target'], shape.target, 'gauge', 'forbidden').value;
  const bandPa = fields.amount(['fill', 'band'], shape.band, 'pressure');
  if (shape.rateMaximum === undefined) return { targetPaGauge, bandPa };
  return { targetPaGauge, bandPa, rateMaximumPaPerS: fields.amount(['fill', 'rateMaximum'], shape.rateMaximum, 'pressureRate') };
}

export function resolveVacuum(shape: NonNullable<RigShape['vacuum']>, fields: FieldReader): VacuumSummary {
  return {
    targetPa: fields.pressureOf(['vacuum', 'target'], shape.target, 'absolute', 'forbidden').value,
    bandPa: fields.amount(['vacuum', 'band'], shape.band, 'pressure'),
  };
}

export function resolveHoldPoints(shapes: readonly HoldPointShape[], report: Report): readonly HoldPointSummary[] {
  return shapes.map(({ id, name, by, when }, i): HoldPointSummary => {
    const at = ['holdPoints', i];
    if (by === undefined && when === undefined)
      report(at, `nothing says who ticks the hold point "${name}"; add by: crew, or when: and a condition`);
    if (by !== undefined && when !== undefined)
      report([...at, 'when'], `the hold point "${name}" is ticked either by the crew or by a condition; keep one of the two`, 'key');
    const base = { id: id ?? `hold-${i + 1}`, name };
    return when === undefined ? { ...base, by: 'crew' } : { ...base, by: 'condition', when };
  });
}

/** What each condition needs of the rig before it can ever be true, as a sentence ends: "…, and the rig file has no fill". */
export const CONDITION_NEEDS: Readonly<Record<HoldCondition, string>> = {
  'fill-settled': 'fill',
  'vacuum-at-target': 'vacuum',
  'links-running': '',
  'gates-clear': '',
  'weather-fresh': 'channel airTemperature or airPressure',
};
