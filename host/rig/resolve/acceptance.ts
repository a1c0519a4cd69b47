/** What is asked of each shot, in SI. */
import type { AgreementSummary, AskedResult, CameraAgreementSummary, CriterionSummary, DecisionRule } from '../../../protocol/index.ts';
import type { Dimension } from '../../units/index.ts';
import type { FieldReader, Report } from '../fields.ts';
import type { AgreementShape, CameraAgreementShape, CriterionShape } from '../schema/acceptance.ts';
import type { Path } from '../source.ts';

const MEASURED: Readonly<Record<AskedResult, { readonly dimension: Dimension | 'number'; readonly unit: CriterionSummary['unit'] }>> = {
  'muzzle-velocity': { dimension: 'speed', unit: 'm/s' },
  'target-velocity': { dimension: 'speed', unit: 'm/s' },
  mach: { dimension: 'number', unit: '1' },
  'muzzle-energy': { dimension: 'energy', unit: 'J' },
  'target-energy': { dimension: 'energy', unit: 'J' },
};
/** Of the expanded uncertainty, where nothing else is said. Source: JCGM 106:2012, 8.3.2.2 (r = 1), from memory */
const GUARD_FACTOR = 1;

export function resolveAcceptance(shapes: readonly CriterionShape[], fields: FieldReader, report: Report): readonly CriterionSummary[] {
  return shapes.map((shape, i): CriterionSummary => {
    const at = ['acceptance', i];
    const { name, of, from, to } = shape;
    const { dimension, unit } = MEASURED[of];
    const end = (key: 'from' | 'to', text: string): number =>
      dimension === 'number' ? plainNumber([...at, key], text, report) : fields.plain([...at, key], text, dimension, 'not negative');
    const fromSi = from === undefined ? undefined : end('from', from);
    const toSi = to === undefined ? undefined : end('to', to);
    if (from === undefined && to === undefined) report(at, `"${name}" asks for nothing; give from, to or both`);
    if (fromSi !== undefined && toSi !== undefined && fromSi >= toSi)
      report([...at, 'to'], `"${to}" is not above "${from}"; correct one of the two`);
    return {
      name,
      of,
      unit,
      ...(fromSi === undefined ? {} : { fromSi }),
      ...(toSi === undefined ? {} : { toSi }),
      ...ruleOf(shape, at, report),
    };
  });
}

export function resolveAgreement(shape: AgreementShape, fields: FieldReader, report: Report): AgreementSummary {
  const at = ['agreement'];
  const [one, other] = shape.pairs;
  if (one === other) report([...at, 'pairs'], `pair ${one} cannot be held against itself; name another`);
  return { pairs: [one, other], withinMps: fields.amount([...at, 'within'], shape.within, 'speed'), ...ruleOf(shape, at, report) };
}

export function resolveCameraAgreement(
  shapes: readonly CameraAgreementShape[],
  fields: FieldReader,
  report: Report,
): readonly CameraAgreementSummary[] {
  return shapes.map((shape, i) => {
    const at = ['cameraAgreement', i];
    return { camera: shape.camera, withinMps: fields.amount([...at, 'within'], shape.within, 'speed'), ...ruleOf(shape, at, report) };
  });
}

function ruleOf(
  { rule, guard }: { readonly rule: DecisionRule; readonly guard?: number | undefined },
  at: Path,
  report: Report,
): { readonly rule: DecisionRule; readonly guardFactor: number } {
  if (rule === 'guarded') return { rule, guardFactor: guard ?? GUARD_FACTOR };
  if (guard !== undefined) report([...at, 'guard'], 'a guard belongs to the rule guarded; write rule: guarded, or remove it', 'key');
  return { rule, guardFactor: 0 };
}

/** Without a unit: there is none. */
function plainNumber(path: Path, text: string, report: Report): number {
  const value = /^\d{1,3}(\.\d{1,6})?$/.test(text.trim()) ? Number(text) : Number.NaN;
  if (Number.isNaN(value)) report(path, `"${text}" is no Mach number; write a number such as 1.05`);
  return value;
}
