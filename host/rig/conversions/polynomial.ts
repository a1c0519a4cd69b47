import { ascending, converted, type RawBounds, rawFault } from './raw-bounds.ts';

/** Strictly monotonic over `range`; beyond it goes on along its tangent, for there a polynomial soon turns. */
export interface PolynomialConversion {
  readonly kind: 'polynomial';
  /** c₀ + c₁x + c₂x² + …, in SI, x as below. */
  readonly coefficients: readonly number[];
  /** x is the raw number times this: 1, or V a count. */
  readonly xPerRaw: number;
  /** Raw numbers. */
  readonly range: readonly [number, number];
  readonly bounds: RawBounds;
}

export function convertPolynomial(conversion: PolynomialConversion, raw: number): ReturnType<typeof converted> {
  return converted(valueAt(conversion, raw), rawFault(conversion.bounds, raw));
}

export function polynomialRange(conversion: PolynomialConversion): readonly [number, number] {
  return ascending(valueAt(conversion, conversion.range[0]), valueAt(conversion, conversion.range[1]));
}

function valueAt({ coefficients, xPerRaw, range }: PolynomialConversion, raw: number): number {
  const inside = Math.min(Math.max(raw, range[0]), range[1]);
  const value = evaluate(coefficients, inside * xPerRaw);
  return raw === inside ? value : value + evaluate(derivative(coefficients), inside * xPerRaw) * (raw - inside) * xPerRaw;
}

/** Horner's scheme. */
export function evaluate(coefficients: readonly number[], x: number): number {
  return coefficients.reduceRight((sum, coefficient) => sum * x + coefficient, 0);
}

export function derivative(coefficients: readonly number[]): readonly number[] {
  return coefficients.slice(1).map((coefficient, i) => coefficient * (i + 1));
}

/** Of the whole: two roots that should be one come out a little apart, and what the slope does between them is round-off. */
const STRETCH_MIN = 1e-9;

/** Whether the polynomial rises, or falls, all the way from `from` to `to`; it may be level at single places. */
export function isMonotonic(coefficients: readonly number[], from: number, to: number): boolean {
  const slope = derivative(coefficients);
  // Between two neighbouring stops the slope does not change its sign.
  const stops = [from, ...rootsBetween(slope, from, to), to];
  const signs = stops.slice(1).flatMap((stop, i) => {
    const before = stops[i] as number;
    return stop - before > STRETCH_MIN * (to - from) ? [Math.sign(evaluate(slope, (stop + before) / 2))] : [];
  });
  return signs.length > 0 && signs[0] !== 0 && signs.every((sign) => sign === signs[0]);
}

/** Roots where the sign changes, ascending. Between the roots of its derivative a polynomial has at most one: it is halved. */
function rootsBetween(coefficients: readonly number[], from: number, to: number): readonly number[] {
  if (coefficients.length < 2) return [];
  const stops = [from, ...rootsBetween(derivative(coefficients), from, to), to];
  return stops.slice(1).flatMap((high, i) => {
    const low = stops[i] as number;
    const sign = Math.sign(evaluate(coefficients, low));
    if (sign === 0 || sign === Math.sign(evaluate(coefficients, high))) return [];
    return [halved(coefficients, low, high, sign)];
  });
}

/** A double has 53 bits; halving more often changes nothing. */
const HALVINGS = 60;

function halved(coefficients: readonly number[], from: number, to: number, signAtFrom: number): number {
  let [low, high] = [from, to];
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (low + high) / 2;
    if (Math.sign(evaluate(coefficients, middle)) === signAtFrom) low = middle;
    else high = middle;
  }
  return high;
}
