import { ascending } from '../conversions/raw-bounds.ts';
import { type ResolvedConversion, UNRESOLVED } from './context.ts';
import { checkReferences, levelAt, type MeasuredContext } from './level.ts';

/** A text instrument that tells the quantity itself, in a unit. Its range, where stated, is in quantities. */
export function resolveDirect(of: MeasuredContext, text: string): ResolvedConversion {
  const { shape, dimension, path, fields, report } = of;
  const read = fields.unit([...path, 'unit'], text, dimension);
  if (read === undefined) return UNRESOLVED;
  const level = { si: 0, reference: read.reference };
  if (!checkReferences(of, { one: 'unit', both: 'its unit' }, [level, level], [['unit'], ['unit']])) return UNRESOLVED;
  const ends = shape.range?.map((end, i) => ({ at: ['range', i], ...levelAt(of, ['range', i], String(end)) })) ?? [];
  for (const end of ends) {
    if (end.reference === undefined || end.reference === read.reference) continue;
    report([...path, ...end.at], `the range is ${end.reference} and the unit ${read.reference}; state both the same way`);
    return UNRESOLVED;
  }
  const [low, high] = ends;
  if (low !== undefined && high !== undefined && low.si >= high.si)
    report([...path, 'range', 1], 'the range ends where it begins or below; correct one of the two');
  const { multiply, add, divide } = read.unit;
  const rangeSi = low === undefined || high === undefined ? {} : { rangeSi: ascending(low.si, high.si) };
  return { conversion: { kind: 'direct', multiply, add, divide, ...rangeSi }, reference: read.reference };
}
