import { isMonotonic, type PolynomialConversion } from '../conversions/polynomial.ts';
import { type ResolvedConversion, UNRESOLVED } from './context.ts';
import { checkReferences, type MeasuredContext, rawReader } from './level.ts';
import { readRange } from './range.ts';

/** In raw numbers, or in volts where its range is. */
export function resolvePolynomial(of: MeasuredContext, written: readonly number[]): ResolvedConversion {
  const { shape, dimension, path, fullScale, fields, report } = of;
  const missing = (['unit', 'range'] as const).find((key) => shape[key] === undefined);
  if (missing !== undefined) {
    const why = missing === 'unit' ? 'the unit of its values' : 'the [lowest, highest] raw number that it holds for';
    report([...path, 'polynomial'], `a polynomial needs ${missing}: beside it; add ${why}`, 'key');
    return UNRESOLVED;
  }
  const unit = fields.unit([...path, 'unit'], shape.unit ?? '', dimension);
  const raws = rawReader(of);
  const range = readRange(of, raws) ?? [Number.NaN, Number.NaN];
  if (unit === undefined || range.some(Number.isNaN) || range[0] >= range[1]) return UNRESOLVED;
  const level = { si: 0, reference: unit.reference };
  if (!checkReferences(of, { one: 'unit', both: 'its unit' }, [level, level], [['unit'], ['unit']])) return UNRESOLVED;
  const xPerRaw = typeof shape.range?.[0] === 'string' ? (raws.voltsPerCount ?? Number.NaN) : 1;
  if (!isMonotonic(written, range[0] * xPerRaw, range[1] * xPerRaw)) {
    const [from, to] = shape.range ?? [];
    report(
      [...path, 'polynomial'],
      `the polynomial does not rise or fall all the way from ${from} to ${to}; correct a coefficient, or narrow the range`,
    );
    return UNRESOLVED;
  }
  const { multiply, add, divide } = unit.unit;
  const conversion: PolynomialConversion = {
    kind: 'polynomial',
    coefficients: written.map((coefficient, i) => (coefficient * multiply + (i === 0 ? add : 0)) / divide),
    xPerRaw,
    range,
    bounds: {
      ...(fullScale === undefined || range[0] <= 0 ? {} : { railLow: 0 }),
      ...(fullScale === undefined || range[1] >= fullScale ? {} : { railHigh: fullScale }),
      range,
    },
  };
  return { conversion, reference: unit.reference };
}
